// SPDX-License-Identifier: MIT
// A round enamel brooch with silver wires between the colours, on grey felt.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-75, 70, 25>, <20, 0, 110>, <0, 90, 0>, <1.0, 0.985, 0.95>, 1.15, 3)
Room(0.36, <1.0, 0.97, 0.93>)

#declare Hair = function { pattern { granite } }
#declare Felt = texture {
  pigment {
    function { min(0.999, 0.55 * Hair(x * 0.7, y, z * 0.7) + 0.45 * Hair(x * 0.11 + 4, y, z * 0.11)) }
    color_map { [0 rgb <0.16, 0.155, 0.15>] [0.45 rgb <0.29, 0.285, 0.275>] [1 rgb <0.46, 0.455, 0.44>] }
  }
  normal { average normal_map { [1 granite 0.5 scale 0.5] [1 wrinkles 0.5 scale 0.25] } }
  finish { diffuse 0.84 brilliance 0.8 }
}
#declare Ground = object { Lying_Cloth(30, 26, 160, 0.35, 0.5, 2) rotate y * -19 translate <-3, 0, 2> }
object { Ground Of_Place(Felt) }
object { Boards(14, 24, 330, 3, 0.05, rgb <0.50, 0.37, 0.22>, rgb <0.42, 0.29, 0.16>, rgb <0.28, 0.17, 0.09>, 0.4, 21) scale 0.4 rotate 24 * y translate y * -0.35 }
#declare On = trace(Ground, <0, 20, 0>, -y);

#declare Dome = spline {
  natural_spline
  0.00, <1.9, 0, 0> 0.10, <2.10, 0.02, 0> 0.2, <2.16, 0.13, 0> 0.3, <2.10, 0.24, 0> 0.36, <2.03, 0.22, 0> 0.40, <2.0, 0.185, 0>
  0.55, <1.62, 0.31, 0> 0.75, <0.9, 0.43, 0> 1.0, <0.0, 0.47, 0>
}
#declare Tone = function { pattern { bozo noise_generator 2 turbulence 0.4 octaves 4 } }
// Seven petals round a button: where a petal's rim lies at this angle.
#declare Petal = function(x, z) { 0.58 + 1.12 * pow(abs(cos(3.5 * atan2(z, x) + 0.12 * sin(3 * atan2(z, x)))), 0.55) }
#declare Rho = function(x, z) { sqrt(x * x + z * z) }
#macro Enamel(A, B, C, Grain)
  texture {
    pigment {
      function { min(0.999, max(0.001, 0.5 + 0.9 * (Tone(x * 1.6, Grain, z * 1.6) - 0.5) + 0.3 * (Tone(x * 11, Grain, z * 11) - 0.5) + 0.30 * (sqrt(x * x + z * z) - 1.1))) }
      color_map { [0 A] [0.5 B] [1 C] }
    }
    normal { bumps 0.03 scale 0.3 }
    Glossy_Finish(0.85)
  }
#end
#declare Leaf_E = Enamel(rgb <0.62, 0.50, 0.30>, rgb <0.60, 0.24, 0.075>, rgb <0.42, 0.055, 0.03>, 1)
#declare Deep_E = Enamel(rgb <0.008, 0.10, 0.085>, rgb <0.005, 0.14, 0.13>, rgb <0.004, 0.075, 0.10>, 4)
#declare Button_E = Enamel(rgb <0.70, 0.68, 0.58>, rgb <0.68, 0.64, 0.50>, rgb <0.58, 0.48, 0.28>, 7)
#declare Wire = texture { pigment { rgb <0.93, 0.915, 0.885> } finish { diffuse 0.18 specular 0.6 roughness 0.01 reflection { 0.75 metallic } metallic } }
// 0 wire, 0.3 button, 0.6 petal, 0.9 ground
#declare Cell = function {
  select(Rho(x, z) - 1.985,
    select(abs(Rho(x, z) - 0.44) - 0.024, 0.05,
      select(Rho(x, z) - 0.44, 0.3,
        select(abs(Rho(x, z) - Petal(x, z)) - 0.026 - 0.03 * (1 - pow(abs(cos(3.5 * atan2(z, x))), 0.4)), 0.05,
          select(Rho(x, z) - Petal(x, z), 0.6, 0.9)))),
    0.05)
}
#declare Brooch = texture {
  function { Cell(x, y, z) }
  texture_map { [0.15 Wire] [0.15 Button_E] [0.45 Button_E] [0.45 Leaf_E] [0.75 Leaf_E] [0.75 Deep_E] [1 Deep_E] }
}
object {
  Turned(Dome, 100, 160, 0.003, 0, 1)
  Of_Piece(Brooch) Shine(1.55)
  rotate y * 17 rotate <3, 0, 2> translate On + y * 0.12
}

Phone_Near(<1.8, 12.0, -9.8>, <0.2, 0.15, 0.2>, 31, 1.5, 0.16, <0, 0.6, -0.4>, 22)
