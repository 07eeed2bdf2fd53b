/* SPDX-License-Identifier: MIT */
/* The packing list for a person, for programs and for a spreadsheet. */
#include "packing_internal.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- JSON ---------------------------------------------------------------------------------------------------- */
static const char *const place_words[] = {"bag", "apart", "lent"};

/* null: not known */
static json_t *sides_json(const double side[3]) {
  return side[0] > 0 ? json_pack("[f,f,f]", side[0], side[1], side[2]) : json_null();
}

static json_t *items(const bc_packing *packing) {
  json_t *out = json_array();
  for (size_t i = 0; i < packing->item_count; i++) {
    const bc_packing_item *item = &packing->items[i];
    json_array_append_new(out,
                          json_pack("{s:s,s:o,s:I,s:f,s:s,s:o,s:o}", "what", item->what, "piece",
                                    item->piece ? json_string(item->piece) : json_null(), "count",
                                    (json_int_t)item->count, "mass_g", item->mass_g, "place", place_words[item->place],
                                    "bag", item->bag ? json_integer((json_int_t)item->bag) : json_null(), "wrapped_cm",
                                    sides_json(item->wrapped)));
  }
  return out;
}

static json_t *hardware(const bc_packing *packing) {
  json_t *out = json_array();
  for (size_t i = 0; i < packing->hardware_count; i++)
    json_array_append_new(out, json_pack("{s:s,s:I,s:I}", "what", packing->hardware[i].what, "count",
                                         (json_int_t)packing->hardware[i].count, "spares",
                                         (json_int_t)packing->hardware[i].spares));
  return out;
}

static json_t *cloth_json(const bc_packing_cloth *cloth) {
  if (!cloth->needed) return json_null();
  return json_pack("{s:f,s:f,s:f,s:i,s:f,s:b,s:f,s:[f,f,f]}", "cut_width_cm", cloth->cut_width, "cut_height_cm",
                   cloth->cut_height, "mass_g", cloth->mass_g, "panels", cloth->panels, "panel_width_cm",
                   cloth->panel_width, "sideways", cloth->sideways, "buy_length_cm", cloth->buy_length, "folded_cm",
                   cloth->folded_width, cloth->folded_height, cloth->folded_thick);
}

bc_status bc_packing_to_json(char **out, bc_context *context, const bc_packing *packing) {
  json_t *bags = json_array();
  for (size_t i = 0; i < packing->bag_count; i++) json_array_append_new(bags, json_real(packing->bags_g[i] / 1000));
  json_t *root = json_pack(
      "{s:o,s:o,s:f,s:f,s:f,s:f,s:I,s:o,s:f,s:b,s:o,s:o,s:o,s:o,s:s,s:b,s:f,s:o}", "cloth", cloth_json(&packing->cloth),
      "hardware", hardware(packing), "cord_cm", packing->cord_cm, "pieces_kg", packing->pieces_g / 1000, "padding_kg",
      packing->padding_g / 1000, "total_kg", packing->total_g / 1000, "unweighed", (json_int_t)packing->unweighed,
      "bags_kg", bags, "bag_limit_kg", packing->bag_limit_g / 1000, "fewest_bags_proven", packing->bags_proven, "items",
      items(packing), "tools", bc_json_texts(packing->tools, packing->tool_count), "notes",
      bc_json_texts(packing->notes.text, packing->notes.count), "loads_ok",
      packing->holds == BC_HOLDS_UNKNOWN ? json_null() : json_boolean(packing->holds == BC_HOLDS_YES), "warning",
      packing->warning, "sizes_checked", packing->sizes_known, "bag_own_kg", packing->bag_own_g / 1000, "bag_size_cm",
      sides_json(packing->bag_size));
  *out = root ? json_dumps(root, JSON_COMPACT | JSON_REAL_PRECISION(6)) : NULL;
  json_decref(root);
  return *out ? BC_OK : bc_fail_memory(context);
}

/* --- CSV ------------------------------------------------------------------------------------------------------ */
/* A field in quotation marks, with those inside doubled (RFC 4180). A leading sign that spreadsheets take for a
 * formula is kept from working by an apostrophe. */
static void csv_text(bc_buffer *out, const char *text) {
  bc_buffer_add(out, strchr("=+-@\t", text[0]) && text[0] ? "\"'" : "\"");
  for (const char *c = text; *c; c++) {
    if (*c == '"') bc_buffer_add_bytes(out, "\"", 1);
    bc_buffer_add_bytes(out, c, 1);
  }
  bc_buffer_add(out, "\"");
}

static void csv_row(bc_buffer *out, const char *list, const char *what, size_t count, double mass_g, size_t bag) {
  bc_buffer_add(out, "%s,", list);
  csv_text(out, what);
  bc_buffer_add(out, ",%zu,", count);
  if (mass_g > 0) bc_buffer_add(out, "%lld", (long long)(mass_g + 0.5));
  if (bag)
    bc_buffer_add(out, ",%zu\r\n", bag);
  else
    bc_buffer_add(out, ",\r\n");
}

bc_status bc_packing_to_csv(char **out, bc_context *context, const bc_packing *packing) {
  bc_buffer text = {0};
  bc_buffer_add(&text, "list,what,count,mass_g,bag\r\n");
  for (size_t i = 0; i < packing->item_count; i++) {
    const bc_packing_item *item = &packing->items[i];
    csv_row(&text, place_words[item->place], item->what, item->count, item->mass_g, item->bag);
  }
  for (size_t b = 1; packing->bag_own_g > 0 && b <= packing->bag_count; b++)
    csv_row(&text, place_words[BC_PACKING_BAG], _("the empty bag"), 1, packing->bag_own_g, b);
  for (size_t i = 0; i < packing->hardware_count; i++)
    csv_row(&text, "hardware", packing->hardware[i].what, packing->hardware[i].count, 0, 0);
  for (size_t i = 0; i < packing->tool_count; i++) csv_row(&text, "tool", packing->tools[i], 1, 0, 0);
  return bc_buffer_finish(&text, out, context);
}

/* --- words ---------------------------------------------------------------------------------------------------- */
static void say_cloth(bc_buffer *out, const bc_packing_cloth *cloth, bc_units units) {
  if (!cloth->needed) return;
  char wide[64], high[64], length[64], mass[64], panel[64];
  bc_length_words(wide, sizeof wide, cloth->cut_width, units);
  bc_length_words(high, sizeof high, cloth->cut_height, units);
  bc_length_words(length, sizeof length, cloth->buy_length, units);
  bc_length_words(panel, sizeof panel, cloth->panel_width, units);
  bc_mass_words(mass, sizeof mass, cloth->mass_g, units);
  bc_buffer_add(out, _("Cloth\n  cut it %s wide and %s high, hems and shrinkage included\n"), wide, high);
  if (cloth->panels > 1) bc_buffer_add(out, _("  in %d panels, each %s wide, seams included\n"), cloth->panels, panel);
  bc_buffer_add(out, _("  buy %s from the bolt\n"), length);
  if (!(cloth->mass_g > 0)) return;
  bc_length_words(wide, sizeof wide, cloth->folded_width, units);
  bc_length_words(high, sizeof high, cloth->folded_height, units);
  bc_length_words(length, sizeof length, cloth->folded_thick, units);
  bc_buffer_add(out, _("  it weighs %s; folded it is about %s by %s, %s thick\n"), mass, wide, high, length);
}

static void say_item(bc_buffer *out, const bc_packing_item *item, bc_units units) {
  char mass[64];
  bc_mass_words(mass, sizeof mass, item->mass_g, units);
  bc_buffer_add(out, "  [ ] %s", item->what);
  if (item->count > 1) bc_buffer_add(out, _(", %zu of them"), item->count);
  if (item->mass_g > 0)
    bc_buffer_add(out, item->count > 1 ? _(", each %s") : ", %s", mass);
  else if (item->place != BC_PACKING_LENT)
    bc_buffer_add(out, ", %s", _("not weighed"));
  bc_buffer_add(out, "\n");
}

static void say_place(bc_buffer *out, const bc_packing *packing, const char *heading, bc_packing_place place,
                      bc_units units) {
  bool any = false;
  for (size_t i = 0; i < packing->item_count; i++) {
    if (packing->items[i].place != place) continue;
    if (!any) bc_buffer_add(out, "\n%s\n", heading);
    any = true;
    say_item(out, &packing->items[i], units);
  }
}

static void say_bags(bc_buffer *out, const bc_packing *packing, bc_units units) {
  char mass[64], limit[64], name[100];
  snprintf(name, sizeof name, "%s", _("the empty bag"));
  const bc_packing_item empty_bag = {.what = name, .count = 1, .mass_g = packing->bag_own_g};
  bc_mass_words(limit, sizeof limit, packing->bag_limit_g, units);
  for (size_t bag = 1; bag <= packing->bag_count; bag++) {
    bc_mass_words(mass, sizeof mass, packing->bags_g[bag - 1], units);
    bc_buffer_add(out, _("\nBag %zu: %s of at most %s\n"), bag, mass, limit);
    for (size_t i = 0; i < packing->item_count; i++)
      if (packing->items[i].place == BC_PACKING_BAG && packing->items[i].bag == bag)
        say_item(out, &packing->items[i], units);
    if (packing->bag_own_g > 0) say_item(out, &empty_bag, units);
  }
  if (packing->bag_count > 1 && packing->unweighed == 0)
    bc_buffer_add(out, "%s\n",
                  !packing->bags_proven  ? _("Fewer bags may be possible; there are too many things to try all ways.")
                  : packing->sizes_known ? _("No packing into fewer bags exists.")
                                         : _("No packing into fewer bags exists, by weight."));
}

static void say_list(bc_buffer *out, const char *heading, char *const *list, size_t count) {
  if (count > 0) bc_buffer_add(out, "\n%s\n", heading);
  for (size_t i = 0; i < count; i++) bc_buffer_add(out, "  [ ] %s\n", list[i]);
}

bc_status bc_packing_to_words(char **out, bc_context *context, const bc_packing *packing, bc_units units) {
  bc_buffer text = {0};
  char pieces[64], padding[64], total[64], cord[64];
  bc_mass_words(pieces, sizeof pieces, packing->pieces_g, units);
  bc_mass_words(padding, sizeof padding, packing->padding_g, units);
  bc_mass_words(total, sizeof total, packing->total_g, units);
  bc_length_words(cord, sizeof cord, packing->cord_cm, units);
  bc_buffer_add(&text, _("Packing list. All you bring weighs %s: the pieces %s, their wrapping about %s.\n\n"), total,
                pieces, padding);
  if (packing->unweighed > 0)
    bc_buffer_add(&text,
                  bc_text_plural("%zu thing is not weighed and is missing in its bag, too: weigh it first.\n\n",
                                 "%zu things are not weighed and are missing in their bags, too: weigh them first.\n\n",
                                 packing->unweighed),
                  packing->unweighed);
  if (packing->warning[0]) bc_buffer_add(&text, "%s\n\n", packing->warning);
  say_cloth(&text, &packing->cloth, units);
  if (packing->hardware_count > 0) bc_buffer_add(&text, _("\nHardware\n"));
  for (size_t i = 0; i < packing->hardware_count; i++) {
    const bc_packing_hardware *kind = &packing->hardware[i];
    bc_buffer_add(&text, "  [ ] %zu %s", kind->count, kind->what);
    if (kind->spares > 0)
      bc_buffer_add(&text, bc_text_plural(" (%zu spare)", " (%zu spare)", kind->spares), kind->spares);
    bc_buffer_add(&text, "\n");
  }
  if (packing->cord_cm > 0) bc_buffer_add(&text, _("  [ ] cord, %s in all, knots included\n"), cord);
  say_list(&text, _("Tools"), packing->tools, packing->tool_count);
  say_bags(&text, packing, units);
  say_place(&text, packing, _("Carried separately, not in a bag"), BC_PACKING_APART, units);
  say_place(&text, packing, _("The venue lends (ask again before you pack)"), BC_PACKING_LENT, units);
  if (packing->notes.count > 0) bc_buffer_add(&text, _("\nTo settle\n"));
  for (size_t i = 0; i < packing->notes.count; i++) bc_buffer_add(&text, "  - %s\n", packing->notes.text[i]);
  return bc_buffer_finish(&text, out, context);
}
