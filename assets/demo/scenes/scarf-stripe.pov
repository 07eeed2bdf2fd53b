// SPDX-License-Identifier: MIT
// An indigo scarf with resist-dyed stripes, hung over a peg on a lime-washed wall.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<-150, 60, -110>, <-90, 0, 110>, <0, 150, 0>, <1.0, 0.99, 0.96>, 1.15, 2)
Room(0.34, <1.0, 0.96, 0.90>)

#declare Wall = Plaster(rgb <0.66, 0.60, 0.50>)
box { <-300, -200, 8>, <300, 250, 10> Of_Place(Wall) }
// A painted rail with turned pegs.
#declare Rail_Wood = texture { pigment { rgb <0.40, 0.46, 0.42> } normal { bumps 0.06 scale <9, 0.5, 0.5> } finish { diffuse 0.8 specular 0.12 roughness 0.04 } }
#declare Peg_Wood = texture { pigment { wood turbulence 0.08 scale <0.5, 0.5, 5> color_map { [0 rgb <0.55, 0.38, 0.21>] [1 rgb <0.42, 0.27, 0.13>] } } finish { diffuse 0.8 specular 0.2 roughness 0.02 } }
union {
  box { <-300, -3.6, 6.2>, <300, 3.6, 8> }
  cylinder { <-300, 3.6, 7.1>, <300, 3.6, 7.1>, 0.9 }
  cylinder { <-300, -3.6, 7.1>, <300, -3.6, 7.1>, 0.9 }
  translate y * 41 Of_Place(Rail_Wood)
}
#declare Peg = union {
  cone { <0, 0, 6.5>, 1.0, <0, 1.6, 0.6>, 0.75 }
  sphere { <0, 1.7, 0.3>, 1.25 scale <1, 1, 0.8> }
  Of_Place(Peg_Wood)
}
object { Peg translate <0, 41, -1> }
object { Peg translate <-33, 41, -1> }
object { Peg translate <33, 41, -1> }

// The scarf, doubled over the peg: gathered at the top, opening in soft folds below.
#declare Leaf_NV = 170;
#declare Leaf_NU = 200;
#macro Leaf(Long, Front, Seed, Shift)
  #local P = array[Leaf_NV + 1][Leaf_NU + 1];
  #local J = 0;
  #while (J <= Leaf_NV)
    #local T = J / Leaf_NV;
    #local D = T * Long;
    #local Spread = 2.6 + 17 * (1 - exp(-D / 20)) + 3.0 * T;
    #local Deep = 2.2 * exp(-D / 34) + 0.75;
    #local I = 0;
    #while (I <= Leaf_NU)
      #local S = I / Leaf_NU - 0.5;
      #local Ph = 2 * pi * (2.1 * S + 0.34 * sin(6 * S + Seed) + 0.10 * sin(D * 0.045 + Seed * 2) + 0.1 * sin(11 * S - D * 0.03));
      #local Nz = Noise_1(S * 9 + Seed, D * 0.035, Seed) - 0.5;
      #local X = S * Spread + 0.9 * sin(Ph * 0.5 + Seed) * exp(-D / 40) + Shift * (1 - exp(-D / 25)) + 1.4 * Nz * T;
      #local Z = Front - Deep * (sin(Ph) + 0.35 * sin(2.3 * Ph + Seed + D * 0.02) * exp(-D / 45)) - 1.6 * Nz;
      #local Crown = 1.9 * exp(-D / 1.6);
      #declare P[J][I] = <X, 42.6 - D + 0.9 * sin(Ph * 0.5) * exp(-D / 12) + 0.6 * S * Seed, Z + (Front < 0 ? 1 : -1) * Crown>;
      #local I = I + 1;
    #end
    #local J = J + 1;
  #end
  Grid_Mesh(P, Leaf_NV, Leaf_NU, 0)
#end
// Resist stripes: where the clamps held, the indigo crept in unevenly.
#declare Creep = function { pattern { bozo noise_generator 2 turbulence 0.4 octaves 4 } }
#declare Stripe_Pigment = pigment {
  function {
    min(0.999, max(0.001,
      0.5 + 0.9 * (0.34 + cos(2 * pi * (y * 9 + 0.05 * (Creep(x * 9, y * 30, 1) - 0.5) + 0.02 * sin(x * 9)))
            - 0.55 * select(sin(2 * pi * y * 3 + 0.4), 1, 0))
      + 0.5 * (Creep(x * 30, y * 70, 3) - 0.5) + 0.25 * (Creep(x * 220, y * 3, 5) - 0.5)
      + 0.25 * (Creep(x * 3, y * 900, 7) - 0.5)))
  }
  color_map {
    [0.00 rgb <0.74, 0.76, 0.74>] [0.10 rgb <0.62, 0.68, 0.72>] [0.28 rgb <0.20, 0.30, 0.45>]
    [0.5 rgb <0.045, 0.082, 0.20>] [1 rgb <0.018, 0.032, 0.098>]
  }
}
#declare Scarf_Cloth = texture {
  uv_mapping
  pigment { Stripe_Pigment }
  normal { function { 0.5 + 0.5 * sin(x * 1400) * sin(y * 2600) + 0.6 * Slub(x * 60, y * 4, 2) + 0.6 * Slub(x * 4, y * 160, 2) } 0.25 }
  finish { diffuse 0.8 brilliance 0.9 specular 0.03 roughness 0.15 }
}
union {
  object { Leaf(84, 0.6, 1.3, 2.5) }
  object { Leaf(78, 4.2, 2.1, -3.5) }
  Of_Piece(Scarf_Cloth)
}

Phone(<8, 6, -118>, <0.8, 2.5, 0>, 42, 0.8)
