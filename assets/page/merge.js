// SPDX-License-Identifier: MIT
// Two changes of one plan, brought together as src/web/store/merge.c does it: what either changed since the common
// base is kept, things with ids are told apart by id, and where both changed the same value `mine` stands.

const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
const haveIds = (list) => Array.isArray(list) && list.every((one) => isObject(one) && typeof one.id === "string");
const withId = (list, id) => list?.find((one) => one.id === id);

export function same(first, second) {
  if (first === second) return true;
  if (Array.isArray(first))
    return Array.isArray(second) && first.length === second.length && first.every((one, i) => same(one, second[i]));
  if (!isObject(first) || !isObject(second)) return false;
  const keys = Object.keys(first);
  return (
    keys.length === Object.keys(second).length && keys.every((key) => Object.hasOwn(second, key) && same(first[key], second[key]))
  );
}

function mergeObjects(base, mine, theirs) {
  const merged = {};
  for (const key of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
    const one = merge(base?.[key], mine[key], theirs[key]);
    if (one !== undefined) merged[key] = one;
  }
  return merged;
}

function mergeLists(base, mine, theirs) {
  const ids = new Set([...mine, ...theirs].map((one) => one.id));
  return [...ids].map((id) => merge(withId(base, id), withId(mine, id), withId(theirs, id))).filter((one) => one !== undefined);
}

/** `undefined` means that the value is not there. */
export function merge(base, mine, theirs) {
  if (same(mine, theirs) || same(base, theirs)) return mine;
  if (same(base, mine)) return theirs;
  if (isObject(mine) && isObject(theirs)) return mergeObjects(isObject(base) ? base : undefined, mine, theirs);
  if (haveIds(mine) && haveIds(theirs) && (base === undefined || haveIds(base))) return mergeLists(base, mine, theirs);
  return mine ?? theirs;
}
