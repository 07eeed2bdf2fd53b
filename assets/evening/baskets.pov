// SPDX-License-Identifier: MIT
// Seven coiled-rope baskets on a kitchen table, photographed one after another as one does on a first evening: no white
// sheet, not always in the middle, by the light of one window. Declare=Number=1 to 7 says which.
#declare Window_At = 1;
#include "../demo/scenes/studio.inc"
#include "../demo/scenes/forms.inc"
#include "../demo/scenes/materials.inc"

Window(<120, 110, -70>, <0, 0, -110>, <0, 120, 0>, <1.0, 0.985, 0.95>, 1.25, 2)
Room(0.30, <1.0, 0.97, 0.92>)

object { Boards(14, 15, 420, 3, 0.06, rgb <0.24, 0.13, 0.06>, rgb <0.19, 0.10, 0.045>, rgb <0.12, 0.06, 0.03>, 0.5, 8) rotate (4 + Number) * y }
box { <-300, 0, 0>, <300, 250, 2> Of_Place(Plaster(rgb <0.33, 0.40, 0.42>)) rotate -3 * y translate <0, 0, 46> }

#macro Rope_Of(Dark, Mid, Light)
  texture {
    pigment { bozo turbulence 0.7 octaves 4 scale <1.2, 0.5, 1.2> color_map { [0 Dark] [0.45 Mid] [1 Light] } }
    normal { granite 0.25 scale 0.35 }
    finish { diffuse 0.84 brilliance 0.85 }
  }
#end
#declare Pale = Rope_Of(rgb <0.66, 0.57, 0.42>, rgb <0.755, 0.675, 0.52>, rgb <0.82, 0.75, 0.61>)
#declare Straw = Rope_Of(rgb <0.60, 0.46, 0.24>, rgb <0.70, 0.55, 0.31>, rgb <0.78, 0.65, 0.41>)
#declare Blue = Rope_Of(rgb <0.05, 0.09, 0.22>, rgb <0.08, 0.13, 0.29>, rgb <0.13, 0.19, 0.36>)
#declare Red = Rope_Of(rgb <0.38, 0.06, 0.05>, rgb <0.47, 0.09, 0.07>, rgb <0.55, 0.14, 0.10>)
#declare White = Rope_Of(rgb <0.74, 0.72, 0.67>, rgb <0.83, 0.81, 0.76>, rgb <0.89, 0.88, 0.84>)
#declare Rr = 0.6;

// Coils, the radius below, in the middle and above, the rope, the rope of a band and the coils that it takes.
#macro Basket(Coils, R0, R1, R2, Rope, Band, From, To)
  #local Side = spline { natural_spline 0, <R0, 0, 0> 0.5, <R1, 0, 0> 1, <R2, 0, 0> }
  #local K = 0;
  #while (K < Coils)
    #local Q = Side(K / max(1, Coils - 1));
    object {
      Rope_Ring(Q.x, Rr, 3.0, K * 1.9)
      #if (K >= From & K <= To) Of_Piece(Band) #else Of_Piece(Rope) #end
      rotate y * (K * 47) translate y * (Rr + K * Rr * 1.72)
    }
    #local K = K + 1;
  #end
  #local K = 0;
  #while (R0 - 0.4 - K * 1.15 > 0.5)
    object { Rope_Ring(R0 - 0.4 - K * 1.15, Rr, 3.0, K) Of_Piece(Rope) rotate y * (K * 31) translate y * Rr }
    #local K = K + 1;
  #end
#end
#macro Handles(Tall, R, Rope)
  #local Arc = spline {
    natural_spline -0.15, <-6.0, Tall - 6, 0.9> 0, <-5.6, Tall - 3, 0.7> 0.2, <-5.0, Tall + 3, 0.5> 0.5, <0, Tall + 8, -0.5>
    0.8, <5.0, Tall + 3, 0.5> 1, <5.6, Tall - 3, 0.7> 1.15, <6.0, Tall - 6, 0.9>
  }
  object { Rope_Path(Arc, 36, Rr * 1.05, 3.0) Of_Piece(Rope) translate z * (-R - 0.3) rotate y * 20 }
  object { Rope_Path(Arc, 36, Rr * 1.05, 3.0) Of_Piece(Rope) translate z * (-R - 0.3) rotate y * 200 }
#end

union {
  #switch (Number)
    #case (1) Basket(7, 13, 15.5, 17, Pale, Straw, 99, 99) #break               // bread
    #case (2) Basket(19, 12, 12.8, 13.6, Straw, Red, 14, 16) Handles(19.6, 13.6, Straw) #break // market
    #case (3) Basket(11, 7, 10.5, 8.4, Pale, Blue, 4, 6) #break                 // eggs
    #case (4) Basket(14, 9.2, 9.6, 10, White, Blue, 0, 5) #break                // plant pot
    #case (5) Basket(22, 13, 15.4, 14.2, White, Red, 99, 99) #break             // yarn
    #case (6) Basket(4, 15, 15.6, 16.4, Straw, Straw, 99, 99) #break            // tray
    #case (7) Basket(9, 7.5, 11.8, 15.2, Red, Pale, 7, 8) #break                // fruit
  #end
  rotate y * 25 * Number
  translate <2.5 * mod(Number * 3, 4) - 3, 0, 2 * mod(Number, 3)>
}

Phone(<-8 + 3 * Number, 40 + mod(Number, 3) * 5, -72>, <0.5, 8 + mod(Number, 2) * 2, 2>, 46, 1.6 - 0.5 * Number)
