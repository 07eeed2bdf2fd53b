// SPDX-License-Identifier: MIT
// What a plan's values are where it says nothing, as the program itself has them (/api/me): they are not known here.
let given = null;

export const useDefaults = (defaults) => (given = defaults);
/** {gap, stand: {wall_colour, wall, fixing}, table: {width, depth, height}, shelf: {y, width, depth},
 *   riser: {width, height}, viewers: {stature, sight_low, sight_high}, piece: {role}}, lengths in cm. */
export const defaults = () => given;
