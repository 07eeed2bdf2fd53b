// SPDX-License-Identifier: MIT
// The feedback sheets of all makers at once: one after another is drawn, then all lie in one archive.
import { _, plural } from "./words.js";
import { button, empty, h, tell } from "./dom.js";
import { address, refusalOf } from "./server.js";
import { zipOf } from "./zip.js";

async function sheetOf(maker) {
  const answer = await fetch(address(`/api/makers/${encodeURIComponent(maker.id)}/files/feedback.pdf`));
  if (!answer.ok) throw refusalOf(answer.status, await answer.json().catch(() => null));
  return new Uint8Array(await answer.arrayBuffer());
}

const fileName = (maker) => `${maker.name.replace(/[\\/:*?\x22<>|]/g, " ").trim() || maker.id}.pdf`;
/** Two makers of one name get two files. */
function named(sheets) {
  const taken = new Map();
  return sheets.map(({ maker, bytes }) => {
    const name = fileName(maker);
    const before = taken.get(name) ?? 0;
    taken.set(name, before + 1);
    return { name: before ? name.replace(/\.pdf$/, ` ${before + 1}.pdf`) : name, bytes };
  });
}

function download(blob, name) {
  const link = h("a", { href: URL.createObjectURL(blob), download: name, hidden: true });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

/** `makers()` gives those that are listed just now. */
export function allSheets(makers) {
  const said = h("span", { role: "status", class: "small" });
  let stopped = false;
  const stop = button(_("Stop"), () => (stopped = true), { class: "button quiet", hidden: true });
  const collect = async (list) => {
    const sheets = [];
    const failed = [];
    for (const maker of list) {
      if (stopped) return null;
      said.textContent = _("Sheet %1$d of %2$d is being drawn …", sheets.length + failed.length + 1, list.length);
      try {
        sheets.push({ maker, bytes: await sheetOf(maker) });
      } catch (error) {
        failed.push(_("%1$s: %2$s", maker.name, error.message));
      }
    }
    return { sheets, failed };
  };
  const start = async () => {
    const list = makers().filter((maker) => maker.photos);
    stopped = false;
    stop.hidden = false;
    all.disabled = true;
    const got = await collect(list);
    stop.hidden = true;
    all.disabled = false;
    said.textContent = "";
    if (!got) return;
    if (got.sheets.length) download(zipOf(named(got.sheets)), "feedback.zip");
    empty(said, plural("%d sheet is ready.", "%d sheets are ready.", got.sheets.length));
    if (got.failed.length) tell(got.failed.join(" "));
  };
  const all = button(_("All feedback sheets"), start);
  return {
    box: h("div", { class: "row" }, all, stop, said),
    draw: () => (all.hidden = makers().filter((one) => one.photos).length < 2),
  };
}
