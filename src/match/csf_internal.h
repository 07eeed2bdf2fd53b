/* SPDX-License-Identifier: MIT */
/* The parts of the contrast sensitivity model that visibility uses many times over. */
#ifndef BC_SRC_MATCH_CSF_INTERNAL_H
#define BC_SRC_MATCH_CSF_INTERNAL_H

#include <backcloth/match.h>

#define MATCH_CSF_STEPS 24

/* Sensitivity to a disk's edge by frequency and mechanism. */
typedef struct match_csf_curve {
  double sensitivity[MATCH_CSF_STEPS][3];
  size_t count;
} match_csf_curve;

/* Sensitivity of mechanism 0 (light), 1 (red-green), 2 (yellow-violet): reciprocal of the contrast at threshold. */
double match_csf_sensitivity(int which, double frequency_cpd, double luminance_cd_m2, double area_deg2);
/* The three mechanisms' contrasts of a modulation. */
void match_csf_contrasts(double contrast[3], const double background[3], const double delta[3]);
double match_csf_combine(const double contrast[3], const double sensitivity[3]);

#endif
