/* SPDX-License-Identifier: MIT */
/* Lengths and masses as people read them: one rounding and one set of words for every sentence, drawing and list.
 *
 * Rounding. Centimetres to the millimetre, "42 cm", "12.5 cm"; inches to the eighth, "16½ in", from 36 in on with feet,
 * "5 ft 10⅞ in": the finest marks of an ordinary tape. What is shorter than a sixteenth of an inch has hundredths, so
 * that a sag is not "0 in". What a photo tells (BC_MEASURE_SEEN) is known to about a centimetre at best: whole
 * centimetres from 20 cm on, metres from 2 m on, whole inches from 10 in on. Masses: grams below 1 kg, then tenths of a
 * kilogram below 100 kg; ounces below a pound, pounds and ounces below 20 lb. Units: 1 in = 2.54 cm and 1 lb =
 * 453.59237 g exactly (international yard and pound agreement, 1959). */
#ifndef BC_SRC_BASE_MEASURES_H
#define BC_SRC_BASE_MEASURES_H

#include <backcloth/base.h>

#define BC_CM_PER_INCH 2.54
#define BC_GRAMS_PER_OUNCE 28.349523125

/* Room enough for any text of this file in any language. */
#define BC_MEASURE_ROOM 192

typedef enum base_measure_from { BC_MEASURE_TAPE = 0, BC_MEASURE_SEEN } base_measure_from;

/* "42 cm" or "16½ in". */
void base_measure_length(char out[BC_MEASURE_ROOM], double cm, bc_units units, base_measure_from from);
/* The bare number, for places where the unit stands beside: "42", "12.5", or "16½"; decimals as the
 * language of the sentences has them. */
void base_measure_number(char out[BC_MEASURE_ROOM], double cm, bc_units units, base_measure_from from);
/* Both units, the asked first: "30 × 42 cm · 11¾ × 16½ in". */
void base_measure_size_both(char out[BC_MEASURE_ROOM], double width_cm, double height_cm, bc_units first,
                            base_measure_from from);
/* Both units, the asked first: "42 cm (16½ in)"; held together by Unicode's isolates where words run from the right. */
void base_measure_length_both(char out[BC_MEASURE_ROOM], double cm, bc_units first, base_measure_from from);

#endif
