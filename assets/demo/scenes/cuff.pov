// SPDX-License-Identifier: MIT
// A polished silver cuff with a hammered face, on the jeweller's worn bench.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-85, 62, -22>, <-30, 0, -110>, <0, 90, 0>, <1.0, 0.985, 0.96>, 1.2, 3)
Room(0.34, <0.97, 0.98, 1.0>)

object { Boards(20, 24, 330, 3, 0.05, rgb <0.26, 0.17, 0.10>, rgb <0.19, 0.12, 0.07>, rgb <0.09, 0.05, 0.028>, 0.25, 9) scale 0.36 rotate 17 * y translate z * 4 }
#declare Wall = Plaster(rgb <0.33, 0.32, 0.29>)
box { <-150, -40, 70>, <150, 120, 72> Of_Place(Wall) }

// Files with turned handles, a scrap of leather.
#declare Steel = texture { pigment { rgb <0.42, 0.42, 0.43> } normal { bumps 0.5 scale <0.04, 0.3, 0.3> } finish { diffuse 0.35 specular 0.4 roughness 0.03 reflection { 0.25 metallic } } }
#declare Handle = texture { pigment { wood turbulence 0.06 rotate 90 * y scale <4, 0.4, 0.4> color_map { [0 rgb <0.50, 0.30, 0.13>] [1 rgb <0.38, 0.20, 0.08>] } } Glossy_Finish(0.5) }
#declare Tool = union {
  lathe { cubic_spline 8, <0.2, -0.5>, <0.45, 0>, <0.85, 1.2>, <0.75, 4.5>, <1.05, 7.5>, <0.8, 9.2>, <0.0, 9.6>, <-0.5, 9.6> rotate 90 * z Of_Place(Handle) }
  box { <0, -0.16, -0.5>, <13, 0.16, 0.5> Of_Place(Steel) }
}
object { Tool rotate y * 152 translate <14, 0.95, 15> }
object { Tool rotate y * 141 translate <19, 0.95, 13> }
#declare Hide = texture {
  pigment { bozo scale 2 turbulence 0.5 color_map { [0 rgb <0.20, 0.10, 0.055>] [1 rgb <0.27, 0.145, 0.08>] } }
  normal { crackle 0.35 scale 0.16 turbulence 0.2 }
  finish { diffuse 0.8 specular 0.12 roughness 0.05 }
}
object { Lying_Cloth(13, 10, 50, 0.9, 0, 3) rotate y * -22 translate <-13, 0.45, 13> Of_Place(Hide) }

// The cuff: an open oval band, bent from sheet 3 mm thick and planished with a round hammer.
#declare Half = 1.75;
#declare Open = radians(42);
#declare NU = 260;
#declare NV = 96;
#declare P = array[NV + 1][NU + 1];
#declare Dent = function { pattern { crackle form <1, 0, 0> metric 2 } }
#local J = 0;
#while (J <= NV)
  // Round the cross section: outer face, edge, inner face, edge.
  #local S = 2 * pi * (J = NV ? 0 : J) / NV;
  #local Cs = cos(S);
  #local Sn = sin(S);
  #local Ey = Half * (Cs < 0 ? -1 : 1) * pow(abs(Cs), 0.55);
  #local Er = 0.15 * (Sn < 0 ? -1 : 1) * pow(abs(Sn), 0.45);
  #local I = 0;
  #while (I <= NU)
    #local T = I / NU;
    #local A = Open + T * (2 * pi - 2 * Open);
    #local End = min(T, 1 - T) * (2 * pi - 2 * Open) * 3 / 0.75;
    #local Taper = (End >= 1 ? 1 : sqrt(max(0.0004, 1 - pow(1 - End, 2.4))));
    #local Flare = 0.10 * pow(abs(Ey) / Half, 2);
    #local Out = (Er > 0 ? 0.055 * (Dent(A * 3.4 + 3, Ey * 1.15, 0.5) - 0.4) * (1 - pow(abs(Ey) / Half, 6)) : 0);
    #local R = 1 + Er * (End < 0.2 ? 0.4 + 3 * End : 1) / 2.9;
    #declare P[J][I] = <(3.05 * R + Flare + Out) * sin(A), Ey * Taper, -(2.45 * R + Flare + Out) * cos(A)>;
    #local I = I + 1;
  #end
  #local J = J + 1;
#end
object {
  Grid_Mesh(P, NV, NU, 0)
  Of_Piece(Silver_Polished)
  rotate x * -90 rotate y * 38 translate y * 1.90
}

Phone_Near(<1.5, 9.5, -18>, <0.2, 2.0, 0.2>, 34, 1.5, 0.35, <0, 3.0, -1.5>, 24)
