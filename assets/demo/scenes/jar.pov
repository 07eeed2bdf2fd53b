// SPDX-License-Identifier: MIT
// A lidded jar with a wood-ash glaze, on the shelf of a workshop.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-120, 70, -50>, <-40, 0, 110>, <0, 120, 0>, <1.0, 0.985, 0.95>, 1.25, 2)
Room(0.26, <1.0, 0.95, 0.88>)

#declare Wall = Plaster(rgb <0.58, 0.56, 0.52>)
box { <-300, -100, 20>, <300, 160, 23> Of_Place(Wall) }
object { Boards(2, 15, 200, 3, 0.05, rgb <0.30, 0.20, 0.12>, rgb <0.22, 0.14, 0.08>, rgb <0.11, 0.065, 0.035>, 0.3, 12) translate <0, 0, 5> }
// Brushes in a tin, a cake of clay.
#declare Tin = texture { pigment { rgb <0.30, 0.31, 0.32> } normal { bumps 0.2 scale <0.4, 3, 0.4> } finish { diffuse 0.5 specular 0.4 roughness 0.05 reflection { 0.2 metallic } } }
#declare Stick = texture { pigment { rgb <0.42, 0.24, 0.11> } finish { diffuse 0.8 specular 0.1 roughness 0.05 } }
#declare Bristle = texture { pigment { rgb <0.10, 0.075, 0.05> } normal { bumps 0.8 scale <0.05, 1, 0.05> } }
union {
  difference { cylinder { <0, 0, 0>, <0, 11, 0>, 4.2 } cylinder { <0, 0.3, 0>, <0, 12, 0>, 4.05 } Of_Place(Tin) }
  #local K = 0;
  #while (K < 5)
    union {
      cylinder { <0, 0.5, 0>, <0, 19 + 1.3 * mod(K * 3, 4), 0>, 0.33 Of_Place(Stick) }
      cone { <0, 19 + 1.3 * mod(K * 3, 4), 0>, 0.6, <0, 23 + 1.3 * mod(K * 3, 4), 0>, 0.05 Of_Place(Bristle) }
      rotate <6 + 2 * K, K * 77, 0> translate <0.8 * cos(K * 2), 0, 0.8 * sin(K * 2)>
    }
    #local K = K + 1;
  #end
  translate <-25, 0, 9>
}
#declare Clay = texture { pigment { rgb <0.34, 0.26, 0.21> } normal { granite 0.3 scale 3 } finish { diffuse 0.8 specular 0.06 roughness 0.08 } }
superellipsoid { <0.35, 0.4> scale <8, 5, 6> rotate y * 24 translate <30, 5, 9> Of_Place(Clay) }

//{ piece
#declare Body = spline {
  natural_spline
  0.00, <0.0, 0.5, 0> 0.06, <5.4, 0.4, 0> 0.09, <6.6, 0.0, 0> 0.13, <7.1, 0.5, 0> 0.28, <9.3, 5.0, 0> 0.45, <9.9, 9.6, 0>
  0.62, <8.8, 13.4, 0> 0.74, <6.9, 15.6, 0> 0.80, <6.3, 16.3, 0> 0.84, <6.2, 17.0, 0> 0.87, <5.9, 17.1, 0> 0.91, <5.6, 16.4, 0> 1.00, <5.4, 14.0, 0>
}
#declare Lid = spline {
  natural_spline
  0.00, <5.2, 16.4, 0> 0.10, <6.1, 17.05, 0> 0.16, <6.75, 17.25, 0> 0.22, <6.8, 17.6, 0> 0.34, <5.4, 18.6, 0> 0.52, <2.6, 19.9, 0>
  0.62, <1.15, 20.4, 0> 0.70, <0.95, 21.0, 0> 0.80, <1.55, 22.0, 0> 0.90, <1.35, 22.9, 0> 1.00, <0.0, 23.2, 0>
}
#declare Run = function(x, y, z) { Speck(x * 0.6, y * 0.07, z * 0.6) }
#declare Wood_Ash = texture {
  pigment {
    function { min(0.999, max(0, y / 23.4 + 0.22 * (Run(x, y, z) - 0.5) + 0.03 * (Speck(x * 5, y * 5, z * 5) - 0.5))) }
    color_map {
      [0.00 rgb <0.20, 0.11, 0.06>] [0.13 rgb <0.22, 0.12, 0.065>] [0.20 rgb <0.16, 0.15, 0.075>] [0.34 rgb <0.26, 0.25, 0.13>]
      [0.55 rgb <0.34, 0.32, 0.18>] [0.72 rgb <0.30, 0.23, 0.12>] [0.84 rgb <0.36, 0.33, 0.19>] [1.0 rgb <0.25, 0.17, 0.085>]
    }
  }
  normal { average normal_map { [1 bumps 0.10 scale <2.2, 1.1, 2.2>] [1 bumps 0.07 scale 0.35] [0.7 gradient y 0.09 sine_wave scale 0.9] } }
  Glossy_Finish(0.55)
}
union {
  object { Turned(Body, 130, 110, 0.011, 0.003, 3) }
  object { Turned(Lid, 90, 100, 0.009, 0.002, 1) rotate y * 50 }
  Of_Piece(Wood_Ash) Shine(1.5)
}
//} piece

Phone(<6, 23, -62>, <0.5, 10.8, 0>, 37, 0.9)
