// SPDX-License-Identifier: MIT
// A cobalt glass bowl on a painted window sill, the yard out of focus behind the panes.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<60, 80, 130>, <-170, 0, 0>, <0, 120, 0>, <1.0, 0.99, 0.97>, 1.2, 2)
Room(0.40, <1.0, 0.97, 0.93>)

#declare Paint = texture {
  pigment { bozo scale 9 turbulence 0.5 color_map { [0 rgb <0.70, 0.69, 0.64>] [1 rgb <0.75, 0.74, 0.695>] } }
  normal { average normal_map { [1 bumps 0.12 scale <9, 0.7, 0.7>] [1 granite 0.03 scale 2] } }
  finish { diffuse 0.82 specular 0.15 roughness 0.03 reflection { 0, 0.12 fresnel on } conserve_energy }
}
// Sill, frame and glazing bars.
union {
  box { <-150, -4, -17>, <150, 0, 24> }
  cylinder { <-150, -1, -17>, <150, -1, -17>, 1 }
  box { <-150, 0, 19>, <150, 4.2, 24> }
  box { <-6.5, 4, 20.3>, <-3.2, 90, 23> }
  box { <55, 4, 20.3>, <58.3, 90, 23> }
  box { <-68, 4, 20.3>, <-64.7, 90, 23> }
  box { <-150, 36, 20.3>, <150, 39, 23> }
  Of_Place(Paint) Shine(1.5)
}
// The yard: wall, shrubs and sky, blurred by distance.
#if (!Mask)
  plane {
    z, 200
    pigment {
      function { min(0.999, max(0.001, (y + 60) / 200 + 0.10 * (Noise_1(x * 0.02, y * 0.02, 1) - 0.5) + 0.14 * (Noise_1(x * 0.05, y * 0.05, 4) - 0.5))) }
      color_map {
        [0.00 rgb <0.30, 0.28, 0.24>] [0.22 rgb <0.34, 0.32, 0.27>] [0.28 rgb <0.10, 0.16, 0.06>] [0.40 rgb <0.20, 0.30, 0.11>]
        [0.52 rgb <0.34, 0.40, 0.22>] [0.58 rgb <0.85, 0.90, 0.95>] [1 rgb <0.75, 0.86, 1.0>]
      }
    }
    finish { emission 0.62 diffuse 0 }
    no_shadow no_radiosity
  }
#end

//{ piece
#declare Bowl = spline {
  natural_spline
  0.00, <0.05, 0.25, 0> 0.03, <3.0, 0.1, 0> 0.05, <3.6, 0.0, 0> 0.08, <4.2, 0.35, 0> 0.16, <6.6, 2.0, 0> 0.28, <8.9, 5.0, 0> 0.42, <10.2, 8.6, 0>
  0.505, <10.9, 10.9, 0> 0.52, <10.93, 11.1, 0> 0.535, <10.75, 11.1, 0> 0.55, <10.60, 10.8, 0>
  0.63, <9.85, 8.6, 0> 0.76, <8.45, 5.15, 0> 0.88, <6.0, 2.5, 0> 0.95, <3.3, 1.5, 0> 1.00, <0.0, 1.3, 0>
}
#declare Cobalt = texture {
  pigment { rgbt <0.93, 0.95, 1.0, 1> }
  normal { bumps 0.02 scale <3, 3, 3> }
  finish { diffuse 0 specular 0.5 roughness 0.001 reflection { 0.02, 1 fresnel on } conserve_energy }
}
object {
  Turned(Bowl, 200, 130, 0.011, 0.0008, 3)
  Of_Piece(Cobalt)
  #if (!Mask) interior { ior 1.5 fade_distance 0.36 fade_power 1001 fade_color rgb <0.16, 0.36, 0.82> caustics 0.5 } #end
  translate <1, 0.02, -1>
}
//} piece

// A few shells.
#declare Shell = texture { pigment { gradient z scale 0.5 turbulence 0.2 color_map { [0 rgb <0.62, 0.50, 0.40>] [1 rgb <0.72, 0.66, 0.58>] } } normal { gradient x 0.5 sine_wave scale 0.25 } finish { diffuse 0.8 specular 0.1 roughness 0.05 } }
union {
  sphere { 0, 1 scale <2.1, 0.75, 1.7> rotate y * 20 translate <-19, 0.5, 3> }
  sphere { 0, 1 scale <1.5, 0.6, 1.3> rotate y * -40 translate <-22.5, 0.4, -1> }
  Of_Place(Shell)
}

Phone(<-5, 22, -48>, <0.6, 6.0, 0>, 46, 0.9)
