// SPDX-License-Identifier: MIT
// A pale coiled-rope basket on a wooden floor, by a plastered wall.
#declare Window_At = 1;
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<135, 105, -40>, <0, 0, -120>, <0, 130, 0>, <1.0, 0.985, 0.95>, 1.2, 2)
Room(0.30, <1.0, 0.96, 0.90>)

object { Boards(16, 14, 420, 3, 0.12, rgb <0.42, 0.27, 0.15>, rgb <0.33, 0.20, 0.105>, rgb <0.19, 0.105, 0.05>, 0.7, 5) rotate -14 * y translate <20, 0, 10> }
#declare Wall = Plaster(rgb <0.50, 0.545, 0.55>)
#declare Paint = texture { pigment { rgb <0.78, 0.77, 0.73> } normal { bumps 0.05 scale <8, 0.6, 0.6> } finish { diffuse 0.82 specular 0.15 roughness 0.03 } }
union {
  box { <-300, 0, 0>, <300, 250, 2> Of_Place(Wall) }
  union {
    box { <-300, 0, -1.6>, <300, 10.5, 0> }
    cylinder { <-300, 10.5, -0.8>, <300, 10.5, -0.8>, 0.8 }
    Of_Place(Paint)
  }
  rotate -14 * y translate <0, 0, 40>
}

//{ piece
// Coils of three-strand rope, sewn one on another.
#declare Rope = texture {
  pigment {
    bozo turbulence 0.7 octaves 4 scale <1.2, 0.5, 1.2>
    color_map { [0 rgb <0.66, 0.57, 0.42>] [0.45 rgb <0.755, 0.675, 0.52>] [1 rgb <0.82, 0.75, 0.61>] }
  }
  normal { granite 0.25 scale 0.35 }
  finish { diffuse 0.84 brilliance 0.85 }
}
#declare Dyed = texture {
  pigment {
    bozo turbulence 0.7 octaves 4 scale <1.2, 0.5, 1.2>
    color_map { [0 rgb <0.24, 0.20, 0.17>] [1 rgb <0.36, 0.31, 0.27>] }
  }
  normal { granite 0.25 scale 0.35 }
  finish { diffuse 0.84 brilliance 0.85 }
}
#declare Rr = 0.56;
#declare Side = spline { natural_spline 0, <11.6, 0, 0> 0.12, <13.6, 0, 0> 0.4, <16.2, 0, 0> 0.7, <16.6, 0, 0> 1, <15.2, 0, 0> }
#declare Coils = 19;
#declare Basket = union {
  #local K = 0;
  #while (K < Coils)
    #local Q = Side(K / (Coils - 1));
    object {
      Rope_Ring(Q.x, Rr, 3.0, K * 1.9)
      #if (K = 13 | K = 14) Of_Piece(Dyed) #else Of_Piece(Rope) #end
      rotate y * (K * 47) translate y * (Rr + K * Rr * 1.72)
    }
    #local K = K + 1;
  #end
  #local K = 0;
  #while (K < 10)
    object { Rope_Ring(11.2 - K * 1.08, Rr, 3.0, K) Of_Piece(Rope) rotate y * (K * 31) translate y * Rr }
    #local K = K + 1;
  #end
}
object { Basket rotate <0, 20, 0.8> translate <0, 0, 0> }
//} piece

Phone(<-10, 47, -74>, <1.5, 10.5, 2>, 46, 1.0)
