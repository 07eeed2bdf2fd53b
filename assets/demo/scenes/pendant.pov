// SPDX-License-Identifier: MIT
// An enamel pendant on a fine silver chain, hung from a nail in a lime-washed wall.
#include "studio.inc"
#include "forms.inc"
#include "materials.inc"

Window(<90, 50, -70>, <60, 0, 80>, <0, 110, 0>, <1.0, 0.985, 0.95>, 1.15, 2)
Room(0.34, <1.0, 0.97, 0.93>)

#declare Wall = texture {
  pigment { bozo turbulence 0.6 octaves 5 scale 5 color_map { [0 rgb <0.56, 0.52, 0.45>] [0.5 rgb <0.64, 0.60, 0.53>] [1 rgb <0.67, 0.635, 0.565>] } }
  normal { average normal_map { [1 bumps 0.5 scale <1.6, 0.9, 1>] [1 granite 0.16 scale 0.9] } }
  finish { diffuse 0.84 }
}
box { <-80, -60, 0.45>, <80, 60, 3> Of_Place(Wall) }
#declare Iron = texture { pigment { rgb <0.10, 0.09, 0.085> } finish { diffuse 0.6 specular 0.3 roughness 0.05 reflection 0.05 } normal { granite 0.2 scale 0.2 } }
union {
  cylinder { <0, 0, 1>, <0, 0.25, -0.9>, 0.13 }
  cylinder { <0, 0.25, -0.9>, <0, 0.265, -1.0>, 0.32 }
  translate y * 7.2 Of_Place(Iron)
}

// The chain: oval links, each turned against the next, along one smooth line.
#declare Line_Left = spline { natural_spline 0, <-0.12, 7.33, -0.35> 0.12, <-0.75, 5.6, -0.1> 0.4, <-1.55, 2.1, 0.22> 0.7, <-1.25, -1.2, 0.22> 0.9, <-0.5, -3.2, 0.1> 1, <-0.06, -3.95, 0.02> }
#declare Line_Right = spline { natural_spline 0, <0.12, 7.33, -0.35> 0.12, <0.7, 5.5, -0.1> 0.4, <1.35, 2.0, 0.22> 0.7, <1.12, -1.3, 0.22> 0.9, <0.48, -3.2, 0.1> 1, <0.06, -3.95, 0.02> }
#declare Link = torus { 0.082, 0.024 scale <1.55, 1, 1> }
#macro Chain(Line, Count)
  #local I = 0;
  #while (I < Count)
    #local T = (I + 0.5) / Count;
    #local A = Line(max(0, T - 0.01));
    #local B = Line(min(1, T + 0.01));
    #local D = vnormalize(B - A);
    object {
      Link
      rotate x * (mod(I, 2) * 84 + 12 * sin(I * 1.9))
      rotate z * degrees(atan2(D.y, D.x)) rotate y * -degrees(asin(D.z)) * 0.5
      translate Line(T)
    }
    #local I = I + 1;
  #end
#end
#declare Silver_Plain = texture { pigment { rgb <0.93, 0.915, 0.885> } finish { diffuse 0.15 specular 0.6 roughness 0.01 reflection { 0.78 metallic } metallic } }
union {
  Chain(Line_Left, 62)
  Chain(Line_Right, 62)
  torus { 0.2, 0.045 rotate x * 90 rotate y * 75 translate <0, -4.12, -0.05> }
  torus { 0.13, 0.05 rotate x * 90 translate <0, -4.42, -0.05> }
  Of_Piece(Silver_Plain)
}

// The drop: a domed oval in a silver rim, sea green deepening to blue, a silver reed across it.
#declare Dome = spline {
  natural_spline
  0.00, <1.0, 0, 0> 0.10, <1.085, 0.02, 0> 0.2, <1.11, 0.12, 0> 0.3, <1.06, 0.22, 0> 0.36, <0.99, 0.20, 0> 0.40, <0.965, 0.165, 0>
  0.55, <0.80, 0.215, 0> 0.75, <0.45, 0.275, 0> 1.0, <0.0, 0.295, 0>
}
#declare Depth = function { pattern { bozo noise_generator 2 turbulence 0.4 octaves 4 } }
#declare Reed = function(x, z, a, b) { abs(x - a - 0.10 * sin(z * 1.6 + b) - 0.02 * z * b) }
#declare Sea_Enamel = texture {
  pigment {
    function { min(0.999, max(0.001, 0.5 + 0.42 * z + 0.55 * (Depth(x * 1.5, y, z * 1.5) - 0.5))) }
    color_map { [0 rgb <0.006, 0.07, 0.23>] [0.35 rgb <0.005, 0.19, 0.30>] [0.7 rgb <0.06, 0.40, 0.34>] [1 rgb <0.36, 0.58, 0.44>] }
  }
  normal { bumps 0.03 scale 0.25 }
  Glossy_Finish(0.85)
}
#declare Drop_Texture = texture {
  function {
    select(x * x + z * z - 0.945, select(min(min(Reed(x, z, -0.22, 1), Reed(x, z, 0.10, 2.1)), Reed(x, z, 0.36, 0.3)) - 0.022, 0, 1), 0)
  }
  texture_map { [0.5 Silver_Plain] [0.5 Sea_Enamel] }
}
object {
  Turned(Dome, 90, 120, 0.002, 0, 1)
  Of_Piece(Drop_Texture) Shine(1.55)
  scale <1, 1, 1.42> rotate x * -90 rotate z * 1.5 rotate y * -4
  translate <0, -6.08, 0.12>
}

Phone(<1.6, -0.6, -25>, <0.15, 0.1, 0>, 29, 1.1)
