/* SPDX-License-Identifier: MIT */
/* The light of the stand: a colour known in D50 as it appears under another light. Chromaticities: CIE
 * 15:2004 (A, D, FL) and CIE 15:2018 (LED series). The model is in cam16.c. */
#include "base/base.h"
#include "cam16.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* EN 12464-1 (from memory) asks 500 lx where things are looked at closely; a fair hall gives about that. A grey world
 * of 20 % makes it the adapting luminance in cd/m2. */
#define STAND_LA (500.0 / M_PI * 0.2)
#define STAND_YB 20.0

static const bc_light lights[] = {
    {"D50", "D50", 0.34567, 0.35851},       {"D65", "D65", 0.31272, 0.32903},
    {"shade", "D75", 0.29903, 0.31488},     {"A", "A", 0.44758, 0.40745},
    {"warm-led", "LED-B2", 0.4357, 0.4012}, {"neutral-led", "LED-B3", 0.3756, 0.3723},
    {"cool-led", "LED-B5", 0.3118, 0.3236}, {"FL2", "FL2", 0.3721, 0.3751},
    {"FL11", "FL11", 0.3805, 0.3769},
};
#define LIGHT_COUNT (sizeof lights / sizeof lights[0])

const bc_light *bc_lights(size_t *count) {
  *count = LIGHT_COUNT;
  return lights;
}

const char *bc_light_words(const bc_light *light) {
  const char *const words[LIGHT_COUNT] = {
      _("daylight, morning or afternoon"),
      _("daylight at noon"),
      _("daylight in the shade"),
      _("a household filament or halogen bulb"),
      _("a warm white LED"),
      _("a neutral white LED"),
      _("a cool white LED"),
      _("a plain fluorescent tube"),
      _("a good fluorescent tube (three-band)"),
  };
  return light >= lights && light < lights + LIGHT_COUNT ? words[light - lights] : light->name;
}

bc_status bc_light_parse(const bc_light **out, bc_context *context, const char *name) {
  *out = NULL;
  for (size_t i = 0; i < LIGHT_COUNT; i++)
    if (strcasecmp(name, lights[i].name) == 0 || strcasecmp(name, lights[i].cie_name) == 0) {
      *out = &lights[i];
      return BC_OK;
    }
  bc_buffer list = {0};
  for (size_t i = 0; i < LIGHT_COUNT; i++) bc_buffer_add(&list, "%s%s", i ? ", " : "", lights[i].name);
  char *text = NULL;
  bc_status status = bc_buffer_finish(&list, &text, context);
  if (!status)
    status = bc_fail(context, BC_BAD_USAGE, _("“%.60s” is not a light we know. Choose one of: %s."), name, text);
  bc_buffer_clear(&list);
  free(text);
  return status;
}

bc_colour bc_colour_under_light(bc_colour colour, const bc_light *light) {
  if (!light || light == &lights[0]) return colour;
  const double d50[3] = {100 * colour_white_d50[0], 100, 100 * colour_white_d50[2]};
  const double white[3] = {100 * light->x / light->y, 100, 100 * (1 - light->x - light->y) / light->y};
  double xyz[3];
  colour_lab_to_xyz(colour.lab, xyz);
  for (int i = 0; i < 3; i++) xyz[i] *= 100;
  colour_cat16(xyz, d50, white, xyz);
  const colour_cam16 there = colour_cam16_conditions(white, STAND_LA, STAND_YB, COLOUR_SURROUND_AVERAGE);
  const colour_cam16 here = colour_cam16_conditions(d50, STAND_LA, STAND_YB, COLOUR_SURROUND_AVERAGE);
  const colour_appearance seen = colour_cam16_forward(&there, xyz);
  colour_cam16_inverse(&here, seen.J, seen.C, seen.h, xyz);
  for (int i = 0; i < 3; i++) xyz[i] /= 100;
  return colour_from_xyz(xyz);
}
