// SPDX-License-Identifier: MIT
// A round pale jar on a stone step outdoors, thin cloud over the sun.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Outdoors(<-0.55, 0.85, -0.5>, <1.0, 0.95, 0.86>, 1.05, 260, 0.55)

// Stone flags, a rendered house wall, a border of low green.
#declare Stone = texture {
  pigment {
    bozo turbulence 0.7 octaves 6 scale 14
    color_map { [0 rgb <0.20, 0.19, 0.17>] [0.5 rgb <0.29, 0.275, 0.245>] [1 rgb <0.37, 0.35, 0.30>] }
  }
  normal { average normal_map { [1 granite 0.25 scale 6] [1 bumps 0.3 scale 0.5] } }
  finish { diffuse 0.8 }
}
#declare Sides = seed(21);
union {
  #local J = -2;
  #while (J < 6)
    #local I = -5;
    #while (I < 5)
      superellipsoid {
        <0.06, 0.06> scale <24.2, 16.2, 3> rotate x * 90 rotate y * (rand(Sides) - 0.5) * 0.8
        translate <I * 49 + 24 * mod(J + 4, 2), -3 - 0.5 * rand(Sides), J * 33>
        Of_Place(Stone)
      }
      #local I = I + 1;
    #end
    #local J = J + 1;
  #end
}
box { <-400, -4, -200>, <400, -3, 300> Of_Place(Stone) }
#declare Render = Plaster(rgb <0.33, 0.18, 0.12>)
box { <-400, -10, 130>, <400, 300, 133> Of_Place(Render) }
#declare Leaf_Seed = seed(5);
#declare Leaves = union {
  #local K = 0;
  #while (K < 1500)
    #local G = rand(Leaf_Seed);
    disc {
      <0, 0, 0>, z, 1.6 + 1.6 * rand(Leaf_Seed) scale <0.5, 1.3, 1>
      rotate <-70 * rand(Leaf_Seed), 360 * rand(Leaf_Seed), 90 * (rand(Leaf_Seed) - 0.5)>
      translate <-150 + 300 * rand(Leaf_Seed), 1 + 30 * pow(rand(Leaf_Seed), 1.3), 104 + 18 * rand(Leaf_Seed)>
      #if (Mask) texture { Mask_Black } #else
        texture { pigment { rgb <0.07 + 0.07 * G, 0.14 + 0.10 * G, 0.04 + 0.03 * G> } finish { diffuse 0.85 specular 0.1 roughness 0.06 } }
      #end
    }
    #local K = K + 1;
  #end
}
object { Leaves }

//{ piece
#declare Jar = spline {
  natural_spline
  0.00, <0.0, 0.6, 0> 0.05, <5.2, 0.4, 0> 0.08, <6.2, 0.0, 0> 0.11, <6.6, 0.5, 0> 0.22, <11.2, 4.6, 0> 0.36, <14.4, 11.0, 0>
  0.47, <14.9, 15.6, 0> 0.60, <13.2, 21.6, 0> 0.72, <9.4, 26.2, 0> 0.78, <7.2, 27.8, 0> 0.81, <6.7, 28.6, 0> 0.84, <6.9, 29.6, 0>
  0.86, <6.6, 29.8, 0> 0.89, <6.2, 29.0, 0> 1.00, <6.3, 26.0, 0>
}
#declare Pale_Glaze = texture {
  pigment {
    function { min(0.999, max(0, 0.5 + 0.5 * (Speck(x * 0.16, y * 0.16, z * 0.16) - 0.5) + 0.25 * (Speck(x * 2.5, y * 2.5, z * 2.5) - 0.5))) }
    color_map { [0 rgb <0.60, 0.565, 0.49>] [0.5 rgb <0.66, 0.635, 0.57>] [1 rgb <0.70, 0.685, 0.64>] }
  }
  normal { average normal_map { [1 bumps 0.08 scale 3] [1 bumps 0.06 scale 0.4] [0.7 gradient y 0.05 sine_wave scale 1.1] } }
  Glossy_Finish(0.5)
}
object { Turned(Jar, 150, 130, 0.014, 0.0015, 6) Of_Piece(Pale_Glaze) Shine(1.5) }
//} piece

Phone(<14, 42, -92>, <0, 13.0, 4>, 38, -0.9)
