// SPDX-License-Identifier: MIT
// A pale rope basket with two tall handles, on a washed bed sheet: pale on pale.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-130, 95, 20>, <0, 0, 120>, <0, 130, 0>, <1.0, 0.985, 0.95>, 1.15, 2)
Room(0.30, <1.0, 0.97, 0.92>)

#declare Wall = Plaster(rgb <0.36, 0.42, 0.46>)
box { <-300, -100, 110>, <300, 200, 112> Of_Place(Wall) }
#declare Sheet = Weave(Yarn(rgb <0.70, 0.70, 0.68>, 1300, 1300, 0.05), 1300, 1300, 0.25)
object { Lying_Cloth(300, 240, 190, 3.2, 2.4, 8) rotate y * -18 translate <0, -2.8, 20> Of_Place(Sheet) }
// A dark pillow behind, to one side.
#declare Ticking = Weave(Yarn(rgb <0.13, 0.15, 0.19>, 500, 400, 0.2), 500, 400, 0.4)
superellipsoid { <0.7, 0.42> scale <34, 11, 22> rotate <-12, 16, 4> translate <44, 8, 62> Of_Place(texture { pigment { rgb <0.13, 0.15, 0.19> } normal { bumps 0.15 scale 4 } }) }

//{ piece
#declare Rope = texture {
  pigment {
    bozo turbulence 0.7 octaves 4 scale <1.2, 0.5, 1.2>
    color_map { [0 rgb <0.56, 0.44, 0.28>] [0.45 rgb <0.65, 0.53, 0.36>] [1 rgb <0.73, 0.62, 0.45>] }
  }
  normal { granite 0.25 scale 0.35 }
  finish { diffuse 0.84 brilliance 0.85 }
}
#declare Rr = 0.62;
#declare Coils = 17;
#declare Side = spline { natural_spline 0, <12.4, 0, 0> 0.15, <13.4, 0, 0> 0.5, <13.0, 0, 0> 1, <14.0, 0, 0> }
#declare Tall = Rr + (Coils - 1) * Rr * 1.72;
#macro Handle(Turn)
  #local Arc = spline {
    natural_spline
    -0.15, <-7.0, Tall - 6.5, 0.9> 0, <-6.6, Tall - 3.5, 0.7> 0.15, <-6.3, Tall + 2.5, 0.6> 0.33, <-4.6, Tall + 9.6, 0.0>
    0.5, <0, Tall + 12.6, -0.5> 0.67, <4.6, Tall + 9.6, 0.0> 0.85, <6.3, Tall + 2.5, 0.6> 1, <6.6, Tall - 3.5, 0.7> 1.15, <7.0, Tall - 6.5, 0.9>
  }
  object { Rope_Path(Arc, 40, Rr * 1.05, 3.0) Of_Piece(Rope) translate z * -14.4 rotate y * Turn }
#end
union {
  #local K = 0;
  #while (K < Coils)
    #local Q = Side(K / (Coils - 1));
    object { Rope_Ring(Q.x, Rr, 3.0, K * 2.3) Of_Piece(Rope) rotate y * (K * 53) translate y * (Rr + K * Rr * 1.72) }
    #local K = K + 1;
  #end
  #local K = 0;
  #while (K < 10)
    object { Rope_Ring(12.0 - K * 1.2, Rr, 3.0, K) Of_Piece(Rope) rotate y * (K * 31) translate y * Rr }
    #local K = K + 1;
  #end
  Handle(16)
  Handle(196)
  rotate z * -0.8
}
//} piece

Phone(<12, 48, -84>, <0.6, 14.5, 2>, 37, -1.4)
