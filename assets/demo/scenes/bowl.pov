// SPDX-License-Identifier: MIT
// A bowl under ash glaze on a linen cloth, a slice of kitchen behind it.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<120, 85, 55>, <0, 0, -110>, <0, 110, 0>, <1.0, 0.985, 0.95>, 1.2, 2)
Room(0.30, <1.0, 0.96, 0.90>)

object { Boards(9, 13, 260, 3, 0.06, rgb <0.36, 0.22, 0.12>, rgb <0.28, 0.165, 0.085>, rgb <0.17, 0.09, 0.045>, 0.8, 12) rotate -6 * y translate z * 10 }
#declare Wall = Plaster(rgb <0.30, 0.35, 0.34>)
box { <-250, -80, 120>, <250, 160, 122> Of_Place(Wall) }
#declare Linen = Weave(Yarn(rgb <0.52, 0.50, 0.45>, 640, 560, 0.10), 640, 560, 0.3)
object { Lying_Cloth(52, 46, 200, 1.1, 1.4, 9) rotate y * 12 translate <-3, 0.75, 2> Of_Place(Linen) }

// Behind: a wooden spoon in a crock.
#declare Crock_Glaze = texture { pigment { rgb <0.36, 0.27, 0.19> } normal { bumps 0.05 scale 2 } Glossy_Finish(0.6) }
#declare Crock = spline { natural_spline 0, <0.1, 0, 0> 0.1, <5.4, 0, 0> 0.14, <6, 0.6, 0> 0.4, <6.5, 7, 0> 0.55, <6.0, 12, 0> 0.6, <6.4, 12.8, 0> 0.64, <6.0, 12.9, 0> 0.68, <5.5, 12, 0> 0.85, <6, 6, 0> 1, <4, 1, 0> }
#declare Beech = texture { pigment { wood turbulence 0.05 rotate 90 * x scale <0.5, 5, 0.5> color_map { [0 rgb <0.56, 0.40, 0.24>] [1 rgb <0.46, 0.31, 0.17>] } } }
union {
  object { Turned(Crock, 80, 70, 0.01, 0.002, 3) Of_Place(Crock_Glaze) Shine(1.5) }
  union {
    union { cylinder { <0, 2, 0>, <0, 25, 0>, 0.55 } sphere { 0, 1 scale <2.6, 3.6, 0.8> translate y * 27 } rotate z * 12 }
    union { cylinder { <0, 2, 0>, <0, 24, 0>, 0.5 } sphere { 0, 1 scale <2.1, 3.4, 0.6> translate y * 26 } rotate z * -14 rotate y * 60 }
    Of_Place(Beech)
  }
  translate <-27, 0, 46>
}

//{ piece
#ifndef (Base) #declare Base = 1.05; #end
// The bowl: a turned foot left bare, ash glaze running into drops above it.
#declare Bowl = spline {
  natural_spline
  0.00, <0.1, 0.5, 0> 0.03, <3.2, 0.4, 0> 0.05, <3.6, 0.0, 0> 0.07, <4.1, 0.05, 0> 0.10, <4.25, 0.9, 0> 0.13, <5.4, 1.6, 0>
  0.22, <8.0, 3.2, 0> 0.34, <10.2, 6.0, 0> 0.46, <11.2, 9.0, 0> 0.505, <11.45, 10.1, 0> 0.52, <11.35, 10.32, 0>
  0.535, <11.1, 10.1, 0> 0.60, <10.7, 8.8, 0> 0.72, <9.6, 5.9, 0> 0.84, <7.3, 3.1, 0> 0.93, <4.2, 1.8, 0> 1.00, <0.02, 1.5, 0>
}
#declare Run = function { pattern { bozo noise_generator 2 turbulence 0.25 octaves 3 } }
// Above the wavering glaze line; pooled, greener and darker where it ran thick.
#declare Glaze_Line = function(x, y, z) { y - 2.4 - 2.2 * (Run(x * 0.35, 0, z * 0.35) - 0.4) - 0.5 * (Run(x * 1.1, 3, z * 1.1) - 0.5) }
#declare Ash = texture {
  pigment {
    function { min(0.999, max(0.001, 0.45 + 0.5 * (Run(x * 0.8, y * 0.12, z * 0.8) - 0.5) + 0.55 * (Run(x * 2.2, y * 0.3, z * 2.2) - 0.5) - 0.045 * (y - 6) + 0.30 * select(y - 9.75, 0, (y - 9.75) * 2.2))) }
    color_map {
      [0.00 rgb <0.27, 0.31, 0.20>] [0.22 rgb <0.40, 0.43, 0.30>] [0.48 rgb <0.555, 0.555, 0.42>]
      [0.72 rgb <0.62, 0.59, 0.46>] [0.88 rgb <0.50, 0.36, 0.20>] [1 rgb <0.36, 0.20, 0.10>]
    }
  }
  normal { average normal_map { [1 bumps 0.05 scale <2, 0.9, 2>] [0.6 bumps 0.08 scale 0.35] } }
  Glossy_Finish(0.75)
}
#declare Freckles = texture {
  pigment { function { min(0.999, Speck(x * 7, y * 7, z * 7)) } color_map { [0.0 rgbt 1] [0.86 rgbt 1] [0.90 rgbt <0.10, 0.05, 0.02, 0.35>] [1 rgbt <0.08, 0.04, 0.02, 0.1>] } }
  finish { diffuse 0.8 }
}
#declare Freckled = texture { Ash } texture { Freckles }
#declare Bare = texture {
  pigment { granite scale 1.5 color_map { [0 rgb <0.34, 0.22, 0.14>] [1 rgb <0.45, 0.31, 0.20>] } }
  normal { granite 0.15 scale 0.4 }
}
#declare Ash_Bowl = texture {
  function { min(0.999, max(0.001, 0.5 + 3 * max(Glaze_Line(x, y, z), select(x * x + z * z - pow(4.8 + 1.75 * (y - 1.5), 2), select(y - 1.45, -9, 9), -9)))) }
  texture_map { [0.42 Bare] [0.58 Freckled] }
}
object { Turned(Bowl, 170, 130, 0.013, 0.0016, 4) Of_Piece(Ash_Bowl) Shine(1.5) rotate y * 50 rotate z * 0.6 translate Base * y }
//} piece

Phone(<4, 27, -44>, <0.4, 5.4, 1>, 45, 1.4)
