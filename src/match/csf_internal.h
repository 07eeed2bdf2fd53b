/* SPDX-License-Identifier: MIT */
/* The parts of the contrast sensitivity model that visibility uses many times over. */
#ifndef BC_SRC_MATCH_CSF_INTERNAL_H
#define BC_SRC_MATCH_CSF_INTERNAL_H

#include <backcloth/match.h>

#define BC_CSF_STEPS 24

/* Sensitivity to a disk's edge by frequency and mechanism. */
typedef struct bc_csf_curve {
  double sensitivity[BC_CSF_STEPS][3];
  size_t count;
} bc_csf_curve;

/* Sensitivity of mechanism 0 (light), 1 (red-green), 2 (yellow-violet): reciprocal of the contrast at threshold. */
double bc_csf_sensitivity(int which, double frequency_cpd, double luminance_cd_m2, double area_deg2);
/* The three mechanisms' contrasts of a modulation. */
void bc_csf_contrasts(double contrast[3], const double background[3], const double delta[3]);
double bc_csf_combine(const double contrast[3], const double sensitivity[3]);
void bc_csf_disk(bc_csf_curve *curve, double luminance_cd_m2, double radius_deg);
double bc_csf_disk_response(const bc_csf_curve *curve, const double contrast[3]);

#endif
