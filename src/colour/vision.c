/* SPDX-License-Identifier: MIT */
/* Colours as protan, deutan and tritan eyes see them: the matrices that Machado, Oliveira and Fernandes
 * published with their paper of 2009 for severity 1.0, on linear sRGB. */
#include "colour_internal.h"

static const colour_matrix3 machado[] = {
    [BC_VISION_USUAL] = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
    [BC_VISION_PROTAN] = {{{0.152286, 1.052583, -0.204868},
                           {0.114503, 0.786281, 0.099216},
                           {-0.003882, -0.048116, 1.051998}}},
    [BC_VISION_DEUTAN] = {{{0.367322, 0.860646, -0.227968},
                           {0.280085, 0.672501, 0.047413},
                           {-0.011820, 0.042940, 0.968881}}},
    [BC_VISION_TRITAN] = {{{1.255528, -0.076749, -0.178779},
                           {-0.078411, 0.930809, 0.147602},
                           {0.004733, 0.691367, 0.303900}}},
};

bc_colour bc_colour_as_seen(bc_colour colour, bc_vision vision) {
  if (vision < BC_VISION_PROTAN || vision > BC_VISION_TRITAN) return colour;
  double rgb[3];
  bc_lab_to_linear_srgb(colour.lab, rgb);
  colour_matrix3_apply(&machado[vision], rgb, rgb);
  return bc_colour_from_linear_srgb(rgb);
}

const char *bc_vision_word(bc_vision vision) {
  static const char *const words[] = {"usual", "protan", "deutan", "tritan"};
  return words[vision >= BC_VISION_USUAL && vision <= BC_VISION_TRITAN ? vision : BC_VISION_USUAL];
}
