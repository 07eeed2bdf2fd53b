// SPDX-License-Identifier: MIT
// A tall bottle under a dark iron glaze, on a kitchen table by the window.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-130, 75, 20>, <0, 0, 110>, <0, 120, 0>, <1.0, 0.98, 0.95>, 1.25, 2)
Room(0.24, <1.0, 0.95, 0.87>)

#declare Wall = Plaster(rgb <0.62, 0.60, 0.55>)

// Table and what stands round it.
object { Boards(9, 13, 190, 3, 0.06, rgb <0.52, 0.33, 0.17>, rgb <0.40, 0.235, 0.11>, rgb <0.24, 0.13, 0.06>, 1, 3) rotate 4 * y translate z * 12 }
box { <-200, -80, 150>, <200, 160, 152> Of_Place(Wall) }
#declare Dish = texture { pigment { rgb <0.60, 0.62, 0.60> } Glossy_Finish(0.6) }
// A plate, stacked bowls and a folded towel, out of the way.
#declare Plate = spline { natural_spline 0, <0.1, 0.9, 0> 0.3, <6, 0.9, 0> 0.55, <10, 2.2, 0> 0.75, <12.6, 2.8, 0> 0.8, <12.8, 3.0, 0> 0.85, <12.5, 2.6, 0> 1, <6, 0.0, 0> }
union {
  object { Turned(Plate, 40, 60, 0.006, 0, 1) }
  object { Turned(Plate, 40, 60, 0.006, 0, 2) translate y * 1.3 }
  Of_Place(Dish) Shine(1.5)
  translate <25, 0, 38>
}
#declare Towel = Weave(Yarn(rgb <0.45, 0.19, 0.13>, 180, 120, 0.2), 180, 120, 0.5)
union {
  object { Lying_Cloth(30, 17, 90, 1.0, 0.9, 4) translate 1.7 * y }
  object { Lying_Cloth(31, 18, 90, 0.8, 0.7, 4) rotate y * 2 translate <0.4, 0.8, 0.5> }
  rotate y * 28 translate <-27, 0.1, 26> Of_Place(Towel)
}

//{ piece
// The bottle.
#declare Bottle = spline {
  natural_spline
  0.00, <3.6, 0.0, 0> 0.02, <4.6, 0.15, 0> 0.05, <4.9, 0.9, 0> 0.15, <6.2, 4.4, 0> 0.28, <7.1, 9.0, 0>
  0.42, <6.9, 14.0, 0> 0.54, <5.1, 18.4, 0> 0.62, <3.1, 21.4, 0> 0.70, <2.05, 24.8, 0> 0.78, <1.85, 27.6, 0>
  0.85, <2.15, 29.6, 0> 0.90, <2.75, 30.6, 0> 0.93, <2.85, 30.95, 0> 0.96, <2.45, 30.9, 0> 1.00, <1.5, 28.5, 0>
}
#declare Run = function(x, y, z) { Speck(x * 0.55, y * 0.09, z * 0.55) }
#declare Iron_Glaze = texture {
  pigment {
    function { min(0.999, max(0, y / 31.2 + 0.05 * (Run(x, y, z) - 0.5) + 0.012 * (Speck(x * 4, y * 4, z * 4) - 0.5))) }
    color_map {
      [0.000 rgb <0.23, 0.145, 0.085>] [0.050 rgb <0.25, 0.155, 0.09>] [0.062 rgb <0.075, 0.032, 0.014>]
      [0.085 rgb <0.018, 0.012, 0.010>] [0.50 rgb <0.014, 0.011, 0.011>] [0.66 rgb <0.020, 0.013, 0.010>]
      [0.93 rgb <0.030, 0.016, 0.010>] [0.965 rgb <0.10, 0.040, 0.014>] [0.99 rgb <0.22, 0.095, 0.03>] [1 rgb <0.26, 0.12, 0.04>]
    }
  }
  normal {
    average normal_map { [1 bumps 0.06 scale <3, 1.3, 3>] [1 bumps 0.05 scale 0.5] [0.5 gradient y 0.05 sine_wave scale 0.9] }
  }
  Glossy_Finish(0.95)
}
object { Turned(Bottle, 150, 110, 0.012, 0.0025, 2) Of_Piece(Iron_Glaze) Shine(1.6) }
//} piece

Phone(<9, 29, -62>, <0.8, 14.8, 0>, 36, -1.2)
