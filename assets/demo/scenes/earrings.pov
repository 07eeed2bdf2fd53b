// SPDX-License-Identifier: MIT
// A pair of silver and enamel ear drops with their wires, laid on a folded indigo cloth.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<80, 75, 30>, <30, 0, -110>, <0, 90, 0>, <1.0, 0.985, 0.95>, 1.35, 3)
Room(0.40, <1.0, 0.97, 0.93>)

#declare Cloth = Weave(Yarn(rgb <0.030, 0.048, 0.11>, 640, 640, 0.4), 640, 640, 0.5)
#declare Lay = object { Lying_Cloth(40, 40, 200, 0.6, 0.7, 3) rotate y * 38 }
object { Lay Of_Place(Cloth) }

#declare Silver_Plain = texture { pigment { rgb <0.93, 0.915, 0.885> } normal { bumps 0.03 scale 0.3 } finish { diffuse 0.15 specular 0.6 roughness 0.01 reflection { 0.80 metallic } metallic } }
#declare Shade = function { pattern { bozo noise_generator 2 turbulence 0.4 octaves 4 } }
#declare Yellow = texture {
  pigment {
    function { min(0.999, max(0.001, 0.5 + 0.28 * z + 0.5 * (Shade(x * 2, 1, z * 2) - 0.5) + 0.25 * (Shade(x * 14, 1, z * 14) - 0.5))) }
    color_map { [0 rgb <0.62, 0.13, 0.02>] [0.45 rgb <0.74, 0.37, 0.04>] [1 rgb <0.78, 0.62, 0.20>] }
  }
  normal { bumps 0.03 scale 0.2 }
  Glossy_Finish(0.85)
}
#declare Dome = spline {
  natural_spline
  0.00, <0.9, 0, 0> 0.10, <1.0, 0.02, 0> 0.2, <1.03, 0.09, 0> 0.3, <1.0, 0.165, 0> 0.36, <0.95, 0.155, 0> 0.40, <0.93, 0.13, 0>
  0.55, <0.75, 0.18, 0> 0.75, <0.42, 0.225, 0> 1.0, <0.0, 0.24, 0>
}
#declare Face = texture {
  function { select(x * x + z * z - 0.88, select(abs(x + 0.08 * sin(2 * z)) - 0.028, 0, 1), 0) }
  texture_map { [0.5 Silver_Plain] [0.5 Yellow] }
}
#declare Hook = spline { natural_spline 0, <0, 0, 0> 0.1, <0.05, 0.02, 0.18> 0.35, <0.02, 0.05, 0.9> 0.5, <0.22, 0.05, 1.35> 0.62, <0.55, 0.05, 1.4> 0.75, <0.78, 0.05, 1.0> 0.9, <0.82, 0.04, 0.4> 1, <0.95, 0.05, 0.0> }
#declare Drop = union {
  object { Turned(Dome, 70, 100, 0.003, 0, 1) Of_Piece(Face) Shine(1.55) scale <0.62, 1, 1.25> }
  union {
    torus { 0.12, 0.035 translate <0, 0.08, 1.42> }
    torus { 0.11, 0.03 rotate z * 70 translate <0, 0.12, 1.60> }
    sphere_sweep { cubic_spline 14 #local I = -1; #while (I < 13) , Hook(min(1, max(0, I / 11))) + (I < 0 ? <0, 0, -0.05> : (I > 11 ? <0.02, 0, -0.1> : <0, 0, 0>)), 0.042 #local I = I + 1; #end tolerance 0.002 translate <0, 0.08, 1.72> }
    Of_Piece(Silver_Plain)
  }
}
#declare A = trace(Lay, <-1.35, 20, -0.3>, -y);
#declare B = trace(Lay, <1.35, 20, 0.2>, -y);
object { Drop rotate <-4, 12, 3> translate A + y * 0.12 }
object { Drop scale <-1, 1, 1> rotate <-3, -17, -4> translate B + y * 0.12 }

Phone_Near(<-1.0, 11.5, -8>, <0.1, 0.1, 0.75>, 33, -1.5, 0.14, <0, 0.3, 0>, 20)
