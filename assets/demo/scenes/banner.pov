// SPDX-License-Identifier: MIT
// A large indigo banner, the marsh at moonrise, hung by its batten on a painted outside wall.
#declare Rays = 25;
#declare Window_Samples = 3;
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Outdoors(<-60, 75, -80>, <1.0, 0.95, 0.86>, 0.95, 160, 0.50)

// Painted brick: courses with worn joints.
#declare Brick_Face = texture {
  pigment {
    bozo turbulence 0.6 octaves 5 scale 30
    color_map { [0 rgb <0.54, 0.52, 0.47>] [0.5 rgb <0.62, 0.60, 0.55>] [1 rgb <0.66, 0.645, 0.60>] }
  }
  normal { average normal_map { [1.6 brick normal { bumps 0.0 } normal { granite 0.5 scale 2 } brick_size <21.5, 6.5, 11> mortar 1.0] [0.7 granite 0.25 scale 4] } }
  finish { diffuse 0.84 }
}
#declare Joint = texture { pigment { rgb <0.47, 0.455, 0.42> } normal { granite 0.4 scale 2 } }
#declare Brick_Wall = texture {
  brick texture { Joint } texture { Brick_Face }
  brick_size <22.5, 7.5, 12> mortar 0.9
  translate <3, 0, 5>
}
box { <-500, -40, 6>, <500, 420, 12> Of_Place(Brick_Wall) }
// A tap on the wall, a stone trough.
#declare Brass = texture { pigment { rgb <0.30, 0.23, 0.10> } finish { diffuse 0.6 specular 0.4 roughness 0.03 reflection 0.08 } }
union {
  cylinder { <0, -40, 0>, <0, 3, 0>, 1.1 }
  cylinder { <0, 0, 0>, <0, 0, -9>, 1.2 }
  cylinder { <0, 0, -8>, <0, -5, -9.5>, 1.0 }
  cylinder { <0, 0, -6>, <0, 4.5, -6>, 0.6 }
  box { <-2.6, 4.2, -6.6>, <2.6, 5.2, -5.4> }
  translate <118, 62, 5> Of_Place(Brass)
}

// The cloth: 160 wide, 110 high; it hangs in shallow waves and is a little longer on one side.
#declare Nu = 200;
#declare Nv = 110;
#declare P = array[Nv + 1][Nu + 1];
#local J = 0;
#while (J <= Nv)
  #local T = J / Nv;
  #local I = 0;
  #while (I <= Nu)
    #local S = I / Nu - 0.5;
    #local X = S * (160 - 1.2 * T) + 0.5 * sin(T * 6);
    #local Wave = 1.6 * sin(S * 22 + 0.8 * sin(T * 2.3)) + 1.1 * sin(S * 41 + 1.5 + T) + 0.9 * (Noise_1(S * 7, T * 2, 3) - 0.5);
    #declare P[J][I] = <X, 212 - T * 110 - 0.5 * cos(S * 22) * T - 0.9 * S * T, 2.2 - (0.25 + 0.75 * T) * (Wave + 1.2)>;
    #local I = I + 1;
  #end
  #local J = J + 1;
#end
// Resist design in x, y over 0..1, y down: a moon, its path on the water, reeds, three geese.
#declare Creep = function { pattern { bozo noise_generator 2 turbulence 0.4 octaves 4 } }
#declare Edge = function(x, y) { 0.010 * (Creep(x * 40, y * 28, 1) - 0.5) + 0.006 * (Creep(x * 130, y * 90, 2) - 0.5) }
#declare Moon = function(x, y) { 0.150 - sqrt(pow((x - 0.62) * 1.4545, 2) + pow(y - 0.30, 2)) + Edge(x, y) }
#declare Water = function(x, y) {
  min(0.0145 * (0.75 + 0.55 * sin(x * 21 + 40 * floor(y * 16))) - abs((y * 16 - floor(y * 16) - 0.5) / 16 + 0.006 * sin(x * 17 + floor(y * 16) * 2.1)),
      0.06 + 0.46 * (y - 0.50) - abs(x - 0.62 + 0.03 * sin(y * 40)) + 0.12 * sin(19 * floor(y * 16))) + Edge(x, y) * 0.7
}
#declare Path = function(x, y) { select(y - 0.58, -1, select(y - 0.93, Water(x, y), -1)) }
#declare Shore = function(x, y) { 0.0055 - abs(y - 0.545 - 0.010 * sin(x * 9) - 0.004 * sin(x * 31)) + Edge(x, y) * 0.5 }
#macro Reed(Fx, Base, Tip, Bow, Thick)
  function(x, y) { min(Thick * 0.68 * (0.25 + (y - Tip) / (Base - Tip)) - abs(x - Fx - Bow * pow((Base - y) / (Base - Tip), 2)), min(y - Tip, Base - y)) + Edge(x, y) * 0.35 }
#end
#declare R1 = Reed(0.085, 0.97, 0.22, 0.045, 0.0105)
#declare R2 = Reed(0.125, 0.97, 0.33, -0.030, 0.0095)
#declare R3 = Reed(0.165, 0.97, 0.15, 0.075, 0.0115)
#declare R4 = Reed(0.200, 0.97, 0.42, 0.020, 0.0090)
#declare R5 = Reed(0.235, 0.97, 0.30, 0.095, 0.0100)
#declare R6 = Reed(0.050, 0.97, 0.47, -0.015, 0.0085)
#declare R7 = Reed(0.275, 0.97, 0.55, 0.070, 0.0085)
#macro Head(Hx, Hy, Tilt)
  function(x, y) { 0.010 - sqrt(pow(((x - Hx) * 1.4545 + (y - Hy) * Tilt) , 2) + pow((y - Hy) * 0.19, 2)) + Edge(x, y) * 0.5 }
#end
#declare H1 = Head(0.128, 0.215, 0.20)
#declare H3 = Head(0.238, 0.150, 0.26)
#declare H5 = Head(0.327, 0.300, 0.33)
#macro Goose(Gx, Gy, G)
  function(x, y) { 0.0065 * G - abs((y - Gy) / 1 + 0.55 * abs(x - Gx) - 3.4 * pow(x - Gx, 2) / G - 0.012 * G) - 0.16 * max(0, abs(x - Gx) - 0.035 * G) + Edge(x, y) * 0.3 }
#end
#declare G1 = Goose(0.40, 0.19, 1.0)
#declare G2 = Goose(0.485, 0.135, 0.8)
#declare G3 = Goose(0.335, 0.115, 0.7)
#declare Border = function(x, y) { max(0.0055 - abs(min(min(x, 1 - x) * 1.4545, min(y, 1 - y)) - 0.028), -1) + Edge(x, y) * 0.5 }
#declare Print = function(x, y) {
  max(max(max(Moon(x, y), Path(x, y)), max(Shore(x, y), Border(x, y))),
      max(max(max(R1(x, y), R2(x, y)), max(R3(x, y), R4(x, y))), max(max(R5(x, y), max(R6(x, y), R7(x, y))), max(max(H1(x, y), max(H3(x, y), H5(x, y))), max(max(G1(x, y), G2(x, y)), G3(x, y))))))
}
#declare Banner_Pigment = pigment {
  function {
    min(0.999, max(0.001,
      0.78 - 0.62 / (1 + exp(-min(60, max(-60, Print(x, y) * 1100)))) - 0.14 * exp(min(0, max(-60, Print(x, y) * 70)))
      + 0.26 * (Creep(x * 6, y * 4, 3) - 0.5) + 0.16 * (Creep(x * 40, y * 24, 8) - 0.5) + 0.10 * (Creep(x * 600, y * 6, 5) - 0.5) + 0.10 * (Creep(x * 8, y * 420, 7) - 0.5)))
  }
  color_map {
    [0.00 rgb <0.78, 0.78, 0.73>] [0.14 rgb <0.66, 0.70, 0.70>] [0.34 rgb <0.17, 0.27, 0.42>]
    [0.55 rgb <0.045, 0.085, 0.21>] [1 rgb <0.018, 0.034, 0.105>]
  }
}
#declare Banner_Cloth = texture {
  uv_mapping
  pigment { Banner_Pigment }
  normal { function { 0.6 * Slub(x * 160, y * 6, 2) + 0.6 * Slub(x * 6, y * 110, 2) } 0.3 }
  finish { diffuse 0.8 brilliance 0.9 }
}
#declare Batten_Wood = texture { pigment { wood turbulence 0.05 rotate 90 * y scale <9, 0.7, 0.7> color_map { [0 rgb <0.50, 0.36, 0.21>] [1 rgb <0.38, 0.25, 0.13>] } } }
#declare Cord = texture { pigment { rgb <0.58, 0.52, 0.40> } }
union {
  object { Grid_Mesh(P, Nv, Nu, 0) Of_Piece(Banner_Cloth) }
  cylinder { <-84, 213, 1.4>, <84, 212.6, 1.4>, 1.5 Of_Piece(Batten_Wood) }
}
// The cord is how it hangs, not part of what is sold.
union {
  cylinder { <-79, 214, 1.4>, <0, 236, 3.6>, 0.35 }
  cylinder { <79, 213.7, 1.4>, <0, 236, 3.6>, 0.35 }
  Of_Place(Cord)
}
#declare Iron = texture { pigment { rgb <0.09, 0.085, 0.08> } finish { diffuse 0.7 specular 0.2 roughness 0.05 } }
cylinder { <0, 235.6, 7>, <0, 236.4, 1.5>, 0.6 Of_Place(Iron) }

Phone(<22, 152, -258>, <1, 164, 0>, 50, 0.8)
