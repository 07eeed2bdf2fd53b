// SPDX-License-Identifier: MIT
// One maker's photos, cloths, remarks and links as the page holds them; the plan with them (planned.js).
import { _, languageInUse } from "./words.js";
import { decodeFace } from "./contrast.js";
import { call, get, viaLink } from "./server.js";
import { Planned } from "./planned.js";

/** Events: "change" (anything), and those of the plan. */
export class Maker extends Planned {
  constructor(id) {
    super();
    this.id = id;
    this.path = `/api/makers/${encodeURIComponent(id)}`;
    this.faces = new Map();
    this.outbox = `backcloth plan ${viaLink ? "link" : "own"} ${id}`;
  }

  async load() {
    const [all, plan] = await Promise.all([get(this.path), get(`${this.path}/plan`)]);
    Object.assign(this, {
      name: all.name,
      photos: all.photos ?? [],
      cloths: all.cloths ?? [],
      comments: all.comments ?? [],
      links: all.links ?? [],
    });
    this.begin(plan);
    this.emit("change");
    return this;
  }

  // --- photos and cloths ---------------------------------------------------------------------------

  pieces() {
    return this.photos.filter((photo) => photo.kind !== "cloth");
  }
  photo(id) {
    return this.photos.find((photo) => photo.id === id);
  }
  putPhoto(photo) {
    const at = this.photos.findIndex((other) => other.id === photo.id);
    if (at < 0) this.photos.push(photo);
    else this.photos[at] = photo;
    this.emit("change");
  }
  face(photo) {
    const known = this.faces.get(photo.id);
    if (known?.from === photo.face) return known.face;
    const face = decodeFace(photo.face);
    this.faces.set(photo.id, { from: photo.face, face });
    return face;
  }
  async change(photo, values) {
    this.putPhoto(await call("PUT", `/api/photos/${encodeURIComponent(photo.id)}`, values));
  }
  async help(photo, help) {
    const better = await call("PUT", `/api/photos/${encodeURIComponent(photo.id)}/help`, help);
    this.putPhoto(better);
    return better;
  }
  async addCloth(cloth) {
    const made = await call("POST", `${this.path}/cloths`, cloth);
    if (!this.cloths.some((other) => other.id === made.id)) this.cloths.push(made);
    this.emit("change");
    return made;
  }
  async dropCloth(cloth) {
    await call("DELETE", `${this.path}/cloths/${encodeURIComponent(cloth.id)}`);
    this.cloths = this.cloths.filter((other) => other !== cloth);
    this.emit("change");
  }
}

/** By the reader's alphabet. */
export const byTitle = (a, b) => a.title.localeCompare(b.title, languageInUse());
export const titleOf = (photo) => photo.title || photo.name || _("piece without a name");
