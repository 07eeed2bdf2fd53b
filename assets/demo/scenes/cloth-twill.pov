// SPDX-License-Identifier: MIT
// Indigo twill: a steep diagonal, the pale weft showing through.
#include "swatch.inc"
#declare Diagonal = function(x, z) { 0.5 + 0.5 * sin(2 * pi * (x * 7 + z * 9) + 1.3 * (Yarn_Noise(x * 0.7, 0, z * 0.7) - 0.5)) }
#declare Rib = function { 0.8 * pow(Diagonal(x, z), 0.7) + 0.3 * sin(2 * pi * x * 26) * Diagonal(x, z) }
#declare Dye = pigment {
  function {
    min(0.999, max(0.001, 0.30 + 0.36 * (1 - Diagonal(x, z)) + 0.35 * (Yarn_Noise(x * 13, 2, z * 0.35) - 0.5) + 0.25 * (Yarn_Noise(x * 0.3, 5, z * 15) - 0.5)
      + 0.22 * (Fibre(x * 0.5, 1, z * 0.5) - 0.5)))
  }
  color_map { [0 rgb <0.013, 0.020, 0.060>] [0.45 rgb <0.026, 0.045, 0.115>] [0.75 rgb <0.06, 0.095, 0.19>] [1 rgb <0.20, 0.26, 0.36>] }
}
Lay_Flat(Dye, Rib, 0.9)
