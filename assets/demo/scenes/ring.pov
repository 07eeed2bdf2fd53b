// SPDX-License-Identifier: MIT
// A silver ring with an enamelled channel, on a crumpled bed sheet, close up.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-70, 60, 40>, <30, 0, 100>, <0, 90, 0>, <1.0, 0.99, 0.97>, 1.1, 3)
Room(0.36, <1.0, 0.97, 0.93>)

#declare Sheet_Cloth = Weave(Yarn(rgb <0.70, 0.71, 0.72>, 1100, 1100, 0.04), 1100, 1100, 0.15)
#declare Sheet = object { Lying_Cloth(46, 46, 220, 1.5, 1.3, 6) rotate y * 31 }
object { Sheet Of_Place(Sheet_Cloth) }
#declare On = trace(Sheet, <0, 20, 0>, -y);

#declare Band = spline {
  natural_spline
  0.00, <0.905, 0.28, 0> 0.06, <0.925, 0.335, 0> 0.12, <0.98, 0.355, 0> 0.18, <1.035, 0.33, 0> 0.22, <1.055, 0.275, 0>
  0.26, <1.06, 0.215, 0> 0.28, <1.035, 0.19, 0> 0.40, <1.048, 0.06, 0> 0.50, <1.05, -0.05, 0> 0.58, <1.035, -0.19, 0>
  0.60, <1.06, -0.215, 0> 0.64, <1.055, -0.275, 0> 0.68, <1.035, -0.33, 0> 0.74, <0.98, -0.355, 0> 0.80, <0.925, -0.335, 0>
  0.86, <0.905, -0.28, 0> 0.93, <0.893, 0, 0> 1.00, <0.905, 0.28, 0>
}
#declare Fleck = function { pattern { bozo noise_generator 2 turbulence 0.3 octaves 3 } }
#declare Blue_Enamel = texture {
  pigment {
    function { min(0.999, max(0, 0.5 + 1.1 * (Fleck(x * 3, y * 3, z * 3) - 0.5) + 0.2 * (Fleck(x * 14, y * 14, z * 14) - 0.5))) }
    color_map { [0 rgb <0.004, 0.045, 0.16>] [0.5 rgb <0.006, 0.10, 0.30>] [1 rgb <0.02, 0.26, 0.42>] }
  }
  normal { bumps 0.03 scale 0.15 }
  Glossy_Finish(0.9)
}
#declare Ring_Metal = texture {
  function { select(x * x + z * z - 1.0, 0, select(abs(y) - 0.2, 1, 0)) }
  texture_map { [0.5 Silver_Polished] [0.5 Blue_Enamel] }
}
object {
  Turned(Band, 120, 150, 0.003, 0, 2)
  Of_Piece(Ring_Metal) Shine(1.55)
  rotate <10, 25, -7> translate On + y * 0.47
}

Phone_Near(<1.2, On.y + 5.6, -7.2>, On + <0.1, 0.25, 0.15>, 36, 2, 0.16, On + <0, 0.6, -0.6>, 24)
