// SPDX-License-Identifier: MIT
// An amber glass bottle on a weathered garden table, late sun, a lime-washed wall behind.
#declare Rays = 30;
#declare Window_Samples = 4;
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Outdoors(<-85, 70, -42>, <1.0, 0.91, 0.76>, 0.85, 90, 0.50)

object { Boards(9, 9.5, 240, 2.4, 0.9, rgb <0.40, 0.365, 0.32>, rgb <0.33, 0.30, 0.26>, rgb <0.21, 0.185, 0.155>, 0.1, 41) rotate 7 * y translate <0, 0, 0> }
#declare Wall = Plaster(rgb <0.66, 0.58, 0.46>)
box { <-400, -90, 62>, <400, 260, 64> Of_Place(Wall) }
// Potted rosemary at the edge.
#declare Pot_Clay = texture { pigment { bozo scale 5 turbulence 0.7 color_map { [0 rgb <0.42, 0.20, 0.11>] [1 rgb <0.50, 0.27, 0.17>] } } normal { granite 0.1 scale 1.5 } }
#declare Pot = spline { natural_spline 0, <0.1, 0, 0> 0.1, <4.6, 0, 0> 0.14, <5, 0.4, 0> 0.5, <6.3, 8.6, 0> 0.55, <6.9, 8.8, 0> 0.62, <7.2, 11.4, 0> 0.66, <6.6, 11.5, 0> 0.75, <6.2, 9.5, 0> 1, <0.1, 9.4, 0> }
#declare Green = texture { pigment { bozo scale 3 color_map { [0 rgb <0.07, 0.12, 0.06>] [1 rgb <0.17, 0.24, 0.13>] } } }
union {
  object { Turned(Pot, 70, 60, 0.006, 0, 3) Of_Place(Pot_Clay) }
  union {
    #local Rs = seed(5);
    #local I = 0;
    #while (I < 34)
      #local A = rand(Rs) * 360;
      #local Lean = 6 + 34 * rand(Rs);
      #local H = 11 + 13 * rand(Rs);
      union {
        cylinder { 0, y * H, 0.09 }
        #local J = 0;
        #while (J < H * 4.5)
          cone { 0, 0.10, <1.5, 1.3, 0> * (1.1 - 0.5 * J / (H * 4.5)), 0.03 rotate y * (J * 137.5) translate y * (1.5 + J / 4.5 * 0.93) }
          #local J = J + 1;
        #end
        rotate z * -Lean rotate y * A translate <3.6 * cos(radians(A)) * rand(Rs), 9, -3.6 * sin(radians(A)) * rand(Rs)>
      }
      #local I = I + 1;
    #end
    Of_Place(Green)
  }
  translate <25, 0, 24>
}

//{ piece
#declare Bottle = spline {
  natural_spline
  0.00, <0.05, 0.5, 0> 0.03, <3.0, 0.2, 0> 0.05, <3.7, 0.0, 0> 0.08, <4.5, 0.5, 0> 0.14, <5.2, 2.6, 0> 0.22, <5.5, 6.4, 0> 0.30, <5.2, 10.4, 0>
  0.36, <4.0, 13.4, 0> 0.40, <2.5, 15.4, 0> 0.44, <1.75, 17.4, 0> 0.49, <1.6, 20.2, 0> 0.515, <2.15, 21.4, 0> 0.53, <2.3, 21.8, 0> 0.545, <2.05, 21.95, 0>
  0.56, <1.6, 21.4, 0> 0.59, <1.22, 20.2, 0> 0.64, <1.35, 17.4, 0> 0.69, <2.1, 15.3, 0> 0.74, <3.6, 13.2, 0> 0.80, <4.8, 10.3, 0>
  0.88, <5.05, 6.4, 0> 0.94, <4.6, 3.0, 0> 0.97, <3.2, 1.9, 0> 1.00, <0.0, 1.6, 0>
}
#declare Amber = texture {
  pigment { rgbt <1.0, 0.97, 0.93, 1> }
  normal { bumps 0.03 scale <3, 5, 3> }
  finish { diffuse 0 specular 0.5 roughness 0.001 reflection { 0.02, 1 fresnel on } conserve_energy }
}
object {
  Turned(Bottle, 210, 120, 0.013, 0.001, 6)
  Of_Piece(Amber)
  #if (!Mask) interior { ior 1.5 fade_distance 0.42 fade_power 1001 fade_color rgb <0.94, 0.62, 0.13> caustics 0.5 } #end
  translate <0.5, 0.02, 2>
}
//} piece

Phone(<-4, 20, -52>, <1.6, 10.8, 2>, 33, 1.2)
