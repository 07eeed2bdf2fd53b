// SPDX-License-Identifier: MIT
// Oatmeal linen: plain weave, slubs and a few loose neps.
#include "swatch.inc"
#declare Over = function(x, z) { sin(pi * x * 15) * sin(pi * z * 14) }
#declare Slub_X = function(x, z) { Yarn_Noise(x * 0.22, floor(z * 14) * 1.7, 3) }
#declare Slub_Z = function(x, z) { Yarn_Noise(z * 0.22, floor(x * 15) * 2.3, 8) }
#declare Round = function { 0.5 * abs(cos(pi * x * 15 + pi / 2)) * abs(cos(pi * z * 14 + pi / 2)) + 0.25 * select(Over(x, z), Slub_X(x, z), Slub_Z(x, z)) + 0.1 * Fibre(x, 0, z) }
#declare Flax = pigment {
  function {
    min(0.999, max(0.001, 0.42 + 0.30 * (abs(sin(pi * x * 15) * sin(pi * z * 14)) - 0.4)
      + select(Over(x, z), 0.75 * (Slub_X(x, z) - 0.5), 0.75 * (Slub_Z(x, z) - 0.5) + 0.06) + 0.3 * (Fibre(x * 0.6, 1, z * 0.6) - 0.5)
      - 0.3 * max(0, Yarn_Noise(x * 3.1, 11, z * 3.1) - 0.90) * 8))
  }
  color_map { [0 rgb <0.20, 0.155, 0.095>] [0.35 rgb <0.44, 0.37, 0.265>] [0.6 rgb <0.57, 0.50, 0.375>] [1 rgb <0.70, 0.635, 0.50>] }
}
Lay_Flat(Flax, Round, 0.8)
