// SPDX-License-Identifier: MIT
// The four makers' stand as first hung: white hard walls, pieces cut from their own photos on the back wall, seen by a
// phone from beside the middle. Wants the cut-outs that `render` makes: NAME.cut.png, upright, beside the output.
// The back wall is the plane z = 0 from x -150 to 150, y 0 to 240; `render` says where its corners come to lie.
#declare Bounce = 0;
#declare Window_Samples = 4;
#include "studio.inc"

// 26 mm as a 35 mm camera has it: a diagonal of 43.27 mm, four to three.
#declare Angle_Across = 2 * degrees(atan2(0.8 * 43.2666 / 2, 26));
Phone(<62, 148, -372>, <4, 119, 0>, Angle_Across, 1.6)

// A hall with windows high up on the left; lamps along the aisle behind the viewer.
light_source { <-110, 400, -620> rgb <1.0, 0.985, 0.96> * 0.74 area_light <220, 0, 0>, <0, 160, 0>, 5, 5 adaptive 1 jitter }
light_source { <130, 330, -520> rgb <1.0, 0.95, 0.87> * 0.34 area_light x * 120, z * 120, 4, 4 adaptive 1 jitter }
light_source { <40, 200, -700> rgb <0.95, 0.97, 1.0> * 0.22 shadowless }
background { rgb <0.045, 0.05, 0.06> }

#declare Panel = texture {
  pigment { bozo turbulence 0.5 octaves 4 scale 60 color_map { [0 rgb <0.80, 0.795, 0.775>] [1 rgb <0.825, 0.82, 0.80>] } }
  normal { bumps 0.03 scale 0.8 }
  finish { diffuse 0.86 ambient 0.05 }
}
box { <-150, 0, 0>, <150, 240, 4> texture { Panel } }
box { <-154, 0, -150>, <-150, 240, 4> texture { Panel } }
box { <150, 0, -150>, <154, 240, 4> texture { Panel } }
// Floor of the hall, and what stands beyond the walls.
plane {
  y, 0
  texture {
    pigment { bozo turbulence 0.7 octaves 5 scale 45 color_map { [0 rgb <0.155, 0.150, 0.142>] [1 rgb <0.195, 0.188, 0.178>] } }
    finish { diffuse 0.8 ambient 0.05 }
  }
}
box { <-900, 0, 420>, <900, 460, 430> pigment { gradient y scale 460 color_map { [0 rgb <0.16, 0.15, 0.14>] [1 rgb <0.05, 0.05, 0.055>] } } finish { diffuse 0.7 ambient 0.05 } }
#declare I = 0;
#while (I < 5)
  box { <-380 + I * 190, 360, 300>, <-300 + I * 190, 366, 330> pigment { rgb <1, 0.97, 0.9> } finish { emission 0.9 diffuse 0 } no_shadow }
  #declare I = I + 1;
#end

// One piece: its cut-out on an upright sheet Forward cm before the wall, so that it casts its shadow there.
#macro Hung(Name, Cx, Cy, W, H, Forward, Turn)
  polygon {
    5, <0, 0>, <1, 0>, <1, 1>, <0, 1>, <0, 0>
    pigment { image_map { png concat(Name, ".cut.png") once interpolate 2 } }
    finish { diffuse 1.0 ambient 0.06 }
    translate <-0.5, -0.5, 0> scale <W, H, 1> rotate -Turn * z translate <Cx, Cy, -Forward>
  }
#end
Hung("banner", 6, 168, 132, 92, 1.5, 0)
Hung("scarf-stripe", -112, 150, 27, 86.5, 2, 3)
Hung("basket-handles", 108, 178, 33, 42, 3, 0)
Hung("basket-round", 112, 122, 38, 30, 3, 0)
// A white shelf with what stands on it.
#macro Shelf(Cx, Top, W)
  box { <Cx - W / 2, Top - 2, -16>, <Cx + W / 2, Top, 0> texture { Panel } }
#end
Shelf(32, 56, 44)
Hung("jar", 32, 56 + 15.3, 24, 30.6, 8, 0)
Hung("basket-round", 104, 56, 38, 30, 3, 0)
