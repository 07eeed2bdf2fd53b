// SPDX-License-Identifier: MIT
// Cotton printed by hand from a block: madder sprigs on cream, no two quite alike.
#include "swatch.inc"
#declare Cell = 4.0;
#declare Row = function(z) { floor(z / Cell) }
#declare Px = function(x, z) { x / Cell + 0.5 * mod(abs(Row(z)), 2) }
#declare Hand = function(a, b, s) { Yarn_Noise(floor(a) * 3.71, b * 5.13, s) - 0.5 }
#declare U = function(x, z) { (Px(x, z) - floor(Px(x, z)) - 0.5) + 0.05 * Hand(Px(x, z), Row(z), 1) + 0.010 * (Yarn_Noise(x * 5, 1, z * 5) - 0.5) }
#declare V = function(x, z) { (z / Cell - Row(z) - 0.5) + 0.05 * Hand(Px(x, z), Row(z), 7) + 0.010 * (Yarn_Noise(x * 5, 4, z * 5) - 0.5) }
#macro Leaf(Cx, Cy, A, Long, Broad)
  function(u, v) {
    1 - pow(((u - Cx) * cos(A) + (v - Cy) * sin(A)) / Long, 2) - pow(abs((v - Cy) * cos(A) - (u - Cx) * sin(A)) / Broad, 1.4)
  }
#end
#declare L1 = Leaf(0.13, 0.10, 0.75, 0.15, 0.065)
#declare L2 = Leaf(-0.13, 0.10, 2.39, 0.15, 0.065)
#declare L3 = Leaf(0.12, -0.10, 0.75, 0.13, 0.055)
#declare L4 = Leaf(-0.12, -0.10, 2.39, 0.13, 0.055)
#declare L5 = Leaf(0.0, 0.28, 1.5708, 0.12, 0.07)
#declare Stem = function(u, v) { min(1 - abs(u - 0.02 * sin(v * 9)) / 0.014, min((v + 0.36) * 20, (0.2 - v) * 20)) }
#declare Dot = function(u, v) { 1 - (pow(u - 0.34, 2) + pow(v - 0.30, 2)) / 0.0016 }
#declare Sprig = function(u, v) { max(max(max(L1(u, v), L2(u, v)), max(L3(u, v), L4(u, v))), max(L5(u, v), max(Stem(u, v), Dot(u, v)))) }
#declare Weft = function { 0.5 + 0.3 * sin(2 * pi * x * 21) * sin(2 * pi * z * 19) + 0.25 * Yarn_Noise(x * 20, 0, z * 0.4) + 0.25 * Yarn_Noise(x * 0.4, 3, z * 20) }
#declare Ground = pigment {
  function { min(0.999, max(0.001, 0.5 + 0.3 * (Yarn_Noise(x * 20, 0, z * 0.4) - 0.5) + 0.3 * (Yarn_Noise(x * 0.4, 3, z * 20) - 0.5) + 0.12 * sin(2 * pi * x * 21) * sin(2 * pi * z * 19))) }
  color_map { [0 rgb <0.66, 0.60, 0.47>] [1 rgb <0.80, 0.755, 0.64>] }
}
#declare Madder = pigment {
  function { min(0.999, max(0.001, 0.5 + 0.9 * (Fibre(x * 0.35, 2, z * 0.35) - 0.5) + 0.3 * (Yarn_Noise(x * 20, 0, z * 0.4) - 0.5) + 0.25 * Hand(Px(x, z), Row(z), 5))) }
  color_map { [0 rgb <0.24, 0.035, 0.025>] [0.55 rgb <0.34, 0.062, 0.042>] [1 rgb <0.52, 0.19, 0.13>] }
}
#declare Printed = pigment {
  function { 1 / (1 + exp(-min(40, max(-40, 26 * (Sprig(U(x, z), V(x, z)) + 0.20 * (Fibre(x * 0.8, 3, z * 0.8) - 0.45)))))) }
  pigment_map { [0.3 Ground] [0.7 Madder] }
}
Lay_Flat(Printed, Weft, 0.45)
