// SPDX-License-Identifier: MIT
// Cloths to try before anyone has a cloth: ten ordinary ones of our own choosing, the bare wall, and what the program
// suggests for this collection.
import { defaults } from "./defaults.js";
import { _ } from "./words.js";
import { cssOf, labOfCss, luminanceOf } from "./colour.js";

export const asCloth = (lab, name, more = {}) => ({ name, lab, luminance: luminanceOf(lab), spread_l: 0, ...more });

/** CIELAB D50 as such cloths commonly are (estimates of ours, no source): light ones first. */
const ordinary = () => [
  [_("Bleached cotton"), [94, 0, 2]],
  [_("Undyed linen"), [78, 2, 13]],
  [_("Oatmeal wool"), [66, 4, 15]],
  [_("Straw yellow"), [77, 5, 45]],
  [_("Dove grey"), [62, 0, 0]],
  [_("Brick red"), [40, 38, 26]],
  [_("Moss green"), [42, -10, 24]],
  [_("Bottle green"), [25, -17, 8]],
  [_("Indigo blue"), [24, 4, -22]],
  [_("Soot black"), [15, 0, 0]],
];

export const bareWall = (maker) =>
  asCloth(labOfCss(maker.plan?.stand?.wall_colour ?? defaults().stand.wall_colour), _("Bare wall"), { bare: true });
export const ordinaryCloths = () => ordinary().map(([name, lab]) => asCloth(lab, name));

/** Hangs it in the plan; measures that were given stay. What hangs is kept among the maker's cloths, since the mentor's
 * desk, the board and the feedback sheet judge by those; gives the cloth as it is kept. */
export async function hang(maker, cloth) {
  maker.edit((plan) => {
    if (cloth.bare) return void delete plan.cloth;
    const { colour: _colour, photo: _photo, ...measures } = plan.cloth ?? {};
    plan.cloth = cloth.photo
      ? { photo: `photos/${cloth.photo}`, ...measures }
      : { colour: cloth.css ?? cssOf(cloth.lab), ...measures };
  });
  const known = cloth.bare || cloth.id !== undefined || cloth.photo;
  const same = maker.cloths.find((one) => one.css === (cloth.css ?? cssOf(cloth.lab)));
  if (known || same) return same ?? cloth;
  try {
    return await maker.addCloth({ css: cloth.css ?? cssOf(cloth.lab), name: cloth.name });
  } catch (error) {
    if (error.unreachable) return cloth; // it hangs all the same; the plan is sent as soon as there is a connection
    throw error;
  }
}
export function isHung(maker, cloth) {
  const now = maker.plan?.cloth;
  if (cloth.bare || !now) return Boolean(cloth.bare && !now);
  return cloth.photo ? Boolean(now.photo?.includes(cloth.photo)) : now.colour === (cloth.css ?? cssOf(cloth.lab));
}
/** The cloth that hangs in the plan, whoever named it; null for a bare wall. */
export function hungCloth(maker) {
  const colour = maker.plan?.cloth?.colour;
  const known = [...maker.cloths, ...ordinaryCloths()].find((one) => isHung(maker, one));
  return known ?? (colour ? asCloth(labOfCss(colour), _("the cloth that hangs"), { css: colour }) : null);
}
export const sameCloth = (a, b) =>
  a === b ||
  (a.id !== undefined && a.id === b.id) ||
  (a.id === undefined && b.id === undefined && Boolean(a.bare) === Boolean(b.bare) && cssOf(a.lab) === cssOf(b.lab));
