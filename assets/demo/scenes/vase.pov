// SPDX-License-Identifier: MIT
// A clear blown vase on a shelf, daylight from the side.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-140, 50, 10>, <0, 0, 110>, <0, 130, 0>, <1.0, 0.99, 0.97>, 1.1, 2)
Room(0.32, <0.98, 0.97, 0.95>)

#declare Wall = Plaster(rgb <0.50, 0.43, 0.35>)
box { <-300, -100, 15>, <300, 160, 18> Of_Place(Wall) }
object {
  Boards(1, 24, 150, 2.6, 0.05, rgb <0.58, 0.42, 0.25>, rgb <0.48, 0.33, 0.18>, rgb <0.33, 0.20, 0.10>, 0.6, 7)
  translate <10, 0, 3>
}
// Books leaning, a small plant pot.
#macro Book(W, H, D, Cover, Seed)
  union {
    #local Boards_T = texture { pigment { Cover } normal { granite 0.03 scale 0.06 } finish { diffuse 0.8 specular 0.05 roughness 0.1 } }
    #local Paper = texture { pigment { gradient x scale 0.08 color_map { [0 rgb <0.66, 0.62, 0.52>] [1 rgb <0.76, 0.72, 0.62>] } } }
    box { <0, 0, 0>, <0.25, H, D> Of_Place(Boards_T) }
    box { <W - 0.25, 0, 0>, <W, H, D> Of_Place(Boards_T) }
    cylinder { <W / 2, 0, 0.2>, <W / 2, H, 0.2>, W / 2 scale <1, 1, 0.5> Of_Place(Boards_T) }
    box { <0.2, 0.3, 0.2>, <W - 0.2, H - 0.3, D - 0.3> Of_Place(Paper) }
  }
#end
object { Book(2.6, 20.5, 14, rgb <0.16, 0.07, 0.05>, 1) translate <20, 0, -3> }
object { Book(3.4, 23.0, 15, rgb <0.10, 0.14, 0.13>, 2) translate <22.8, 0, -3> }
object { Book(2.0, 19.0, 13, rgb <0.50, 0.42, 0.28>, 3) rotate z * -9 translate <27.2, 0, -2> }

//{ piece
// The vase: thick foot, thin lip, a little lopsided, a few seed bubbles.
#declare Vase = spline {
  natural_spline
  0.00, <0.1, 0.35, 0> 0.02, <3.2, 0.1, 0> 0.04, <4.0, 0.0, 0> 0.07, <4.6, 0.5, 0> 0.14, <5.3, 3.0, 0> 0.24, <6.3, 7.5, 0>
  0.34, <6.5, 12.0, 0> 0.42, <5.6, 16.2, 0> 0.48, <4.7, 19.4, 0> 0.525, <4.9, 21.6, 0> 0.555, <5.6, 23.6, 0>
  0.565, <5.72, 23.85, 0> 0.575, <5.62, 23.9, 0> 0.585, <5.45, 23.6, 0>
  0.62, <4.62, 21.5, 0> 0.665, <4.40, 19.4, 0> 0.73, <5.28, 16.2, 0> 0.80, <6.16, 12.0, 0> 0.88, <5.92, 7.5, 0>
  0.94, <4.7, 3.6, 0> 0.97, <3.0, 2.2, 0> 1.00, <0.0, 1.9, 0>
}
#declare Seeds = seed(4);
#declare Clear = texture {
  pigment { rgbt <0.965, 0.985, 0.975, 1> }
  normal { bumps 0.025 scale <2.5, 5, 2.5> }
  finish { diffuse 0 specular 0.5 roughness 0.001 reflection { 0.02, 1 fresnel on } conserve_energy }
}
#declare Vase_Mesh = object { Turned(Vase, 220, 120, 0.012, 0.001, 5) }
object {
  Vase_Mesh
  Of_Piece(Clear)
  #if (!Mask) interior { ior 1.5 fade_distance 9 fade_power 1001 fade_color rgb <0.70, 0.90, 0.84> caustics 0.6 } #end
  rotate y * 40 translate <0.5, 0.01, 0>
}
//} piece

Phone(<-7, 19, -66>, <1.8, 11.8, 0>, 34, -0.7)
