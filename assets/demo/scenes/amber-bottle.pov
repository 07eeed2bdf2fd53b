// SPDX-License-Identifier: MIT
// An amber glass bottle stood in the grass, late sun from the side.
#declare Rays = 20;
#declare Window_Samples = 3;
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"
#include "grass.inc"

Outdoors(<-80, 62, 30>, <1.0, 0.90, 0.74>, 1.25, 60, 0.55)
Lawn(12, 11, 13, 700, 4.2, rgb <0.075, 0.14, 0.025>, rgb <0.12, 0.20, 0.04>, rgb <0.24, 0.26, 0.085>)
plane { y, 0 Of_Place(Soil) }
// A hedge at the end of the lawn.
#declare Leaves = texture {
  pigment { bozo noise_generator 2 turbulence 0.8 octaves 6 omega 0.7 scale 14 color_map { [0 rgb <0.012, 0.025, 0.008>] [0.45 rgb <0.04, 0.075, 0.02>] [1 rgb <0.13, 0.20, 0.05>] } }
  normal { granite 1.2 scale 8 }
}
sphere { 0, 1 scale <400, 90, 60> translate <40, 10, 230> Of_Place(Leaves) }

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
  #if (!Mask) interior { ior 1.5 fade_distance 0.9 fade_power 1001 fade_color rgb <0.86, 0.42, 0.07> caustics 0.5 } #end
  translate <0.5, 1.0, 14>
}

Phone(<-4, 21, -38>, <0.8, 10.5, 14>, 38, 1.2)
