// SPDX-License-Identifier: MIT
// Two cloths side by side: the cloths' own view, opened with two.
import { show as showCloths } from "./cloths.js";

export const show = (main, maker, place) => showCloths(main, maker, { ...place, two: true });
