// SPDX-License-Identifier: MIT
// A folded indigo scarf with stitched rings, on the seat of an old chair.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-120, 95, 30>, <0, 0, 110>, <0, 120, 0>, <1.0, 0.985, 0.95>, 1.25, 2)
Room(0.32, <1.0, 0.96, 0.90>)

object { Boards(4, 15, 62, 2.4, 0.25, rgb <0.46, 0.30, 0.17>, rgb <0.37, 0.23, 0.12>, rgb <0.22, 0.125, 0.06>, 0.8, 31) rotate 82 * y }
#declare Turned_Wood = texture { pigment { wood turbulence 0.06 rotate 90 * x scale <0.7, 9, 0.7> color_map { [0 rgb <0.36, 0.21, 0.11>] [1 rgb <0.27, 0.15, 0.075>] } } finish { diffuse 0.8 specular 0.15 roughness 0.03 reflection { 0, 0.1 fresnel on } } }
union {
  #local I = 0;
  #while (I < 7)
    cylinder { <-27 + I * 9, -3, 27>, <-27 + I * 9 + 0.4 * (I - 3), 60, 33>, 0.95 }
    #local I = I + 1;
  #end
  Of_Place(Turned_Wood) Shine(1.5)
  rotate y * -8
}
#declare Wall = Plaster(rgb <0.55, 0.50, 0.42>)
box { <-250, -90, 90>, <250, 170, 92> Of_Place(Wall) }
#declare Floor = texture { pigment { rgb <0.22, 0.15, 0.10> } }
box { <-250, -46, -150>, <250, -45, 150> Of_Place(Floor) }

// Four layers folded to and fro, the fold towards the camera rounded and a little uneven.
#declare NU = 130;
#declare Turns = 4;
#declare Flat = 26;
#declare Bend = 9;
#declare NV = Turns * (Flat + Bend) - Bend;
#declare P = array[NV + 1][NU + 1];
#declare Lift = 1.05;
#declare Half_Deep = 11.5;
#local J = 0;
#while (J <= NV)
  #local L = floor(J / (Flat + Bend));
  #local K = J - L * (Flat + Bend);
  #local Dir = (mod(L, 2) = 0 ? 1 : -1);
  #local I = 0;
  #while (I <= NU)
    #local S = I / NU - 0.5;
    #local X = S * (33 - 0.7 * L) + 0.5 * sin(L * 2.1) + 0.25 * sin(J * 0.11 + L);
    #if (K <= Flat)
      #local Z = Dir * (K / Flat * 2 - 1) * Half_Deep;
      #local Y = L * Lift;
    #else
      #local A = (K - Flat) / Bend * pi;
      #local Z = Dir * (Half_Deep + sin(A) * Lift * 0.62);
      #local Y = L * Lift + Lift / 2 * (1 - cos(A));
    #end
    #local Soft = 0.5 + L * 0.22;
    #local Nz = Noise_1(X * 0.11 + 2, L * 0.4, Z * 0.11) - 0.5;
    #local Nf = Noise_1(X * 0.3, 3 + L * 0.4, Z * 0.12) - 0.5;
    #local Puff = 0.35 * pow(1 - pow(abs(Z) / (Half_Deep + 1), 4), 1);
    #declare P[J][I] = <X + 0.5 * Nf, 0.12 + Y + Soft * (0.9 * Nz + 0.35 * Nf) * (L > 0 ? 1 : 0.1) + Puff * L * 0.4, Z + (0.9 * sin(S * 5 + L * 1.7) + 0.8 * Nz) * (abs(Z) / Half_Deep)>;
    #local I = I + 1;
  #end
  #local J = J + 1;
#end
// Stitched and drawn tight before dyeing: rings with a pale, ragged line and a pale heart.
#declare Creep = function { pattern { bozo noise_generator 2 turbulence 0.4 octaves 4 } }
#declare Cx = function(u) { u * 5 - floor(u * 5) - 0.5 }
#declare Cv = function(u, v) { v * 16 + 0.5 * mod(floor(u * 5), 2) - floor(v * 16 + 0.5 * mod(floor(u * 5), 2)) - 0.5 }
#declare Rho = function(u, v) { sqrt(Cx(u) * Cx(u) + Cv(u, v) * Cv(u, v)) + 0.045 * (Creep(u * 40, v * 110, 2) - 0.5) + 0.012 * sin(17 * atan2(Cv(u, v), Cx(u))) }
#declare Rings = pigment {
  function {
    min(0.999, max(0.001,
      0.86 - 0.85 * exp(-pow((Rho(x, y) - 0.30) / 0.05, 2)) - 0.6 * exp(-pow((Rho(x, y) - 0.15) / 0.035, 2)) - 0.8 * exp(-pow(Rho(x, y) / 0.05, 2))
      - 0.16 * exp(-pow((Rho(x, y) - 0.40) / 0.06, 2))
      + 0.4 * (Creep(x * 26, y * 80, 3) - 0.5) + 0.18 * (Creep(x * 300, y * 4, 5) - 0.5) + 0.18 * (Creep(x * 4, y * 900, 7) - 0.5)))
  }
  color_map {
    [0.00 rgb <0.72, 0.75, 0.74>] [0.15 rgb <0.52, 0.61, 0.68>] [0.35 rgb <0.19, 0.30, 0.45>]
    [0.6 rgb <0.052, 0.095, 0.22>] [1 rgb <0.020, 0.038, 0.11>]
  }
}
#declare Scarf_Cloth = texture {
  uv_mapping
  pigment { Rings }
  normal { function { 0.5 + 0.5 * sin(x * 1500) * sin(y * 4200) + 0.6 * Slub(x * 70, y * 4, 2) + 0.6 * Slub(x * 4, y * 250, 2) } 0.25 }
  finish { diffuse 0.8 brilliance 0.9 specular 0.03 roughness 0.15 }
}
object { Grid_Mesh(P, NV, NU, 0) Of_Piece(Scarf_Cloth) rotate y * 11 translate <-0.5, 0, -3> }

Phone(<7, 42, -52>, <0, 1.5, -1.5>, 42, -1.6)
