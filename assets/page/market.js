// SPDX-License-Identifier: MIT
// The market day, on a phone and without a network: what is sold with one tap, the gap it leaves, the fewest moves that
// mend the wall, and what to make or bring again. Money is not our business.
import { _, plural } from "./words.js";
import { button, empty, fill, h, say, tell } from "./dom.js";
import { address, call, connection, get } from "./server.js";
import { photoOf } from "./drawing.js";
import { keepForLater } from "./offline.js";
import { stage } from "./stage.js";

/** One of a piece is sold: one fewer to bring, or its place falls free; what was sold is counted in the plan. */
export function sell(plan, id) {
  const piece = plan.pieces.find((one) => one.id === id);
  const counted = (plan.sold ??= []).find((one) => one.id === id);
  if (counted) counted.count = (counted.count ?? 1) + 1;
  else plan.sold.push({ id, title: piece.title ?? id, count: 1 });
  if ((piece.count ?? 1) > 1) piece.count--;
  else delete piece.at;
}
/** As if it had not been sold: `before` is the plan of then. */
export function takeBack(plan, before, id) {
  const [now, then] = [plan, before].map((one) => one.pieces.find((piece) => piece.id === id));
  if (then.count !== undefined) now.count = then.count;
  if (then.at) now.at = then.at;
  const counted = plan.sold?.find((one) => one.id === id);
  if (!counted) return;
  if (counted.count > 1) counted.count--;
  else plan.sold = plan.sold.filter((one) => one !== counted);
  if (!plan.sold.length) delete plan.sold;
}

const left = (piece) => (piece.at ? (piece.count ?? 1) : 0);

/** The fewest moves, asked of the program: it shows them, and does them when told. */
function mender(maker, table) {
  const box = h("div", { class: "stack" });
  const close = () => (empty(box), table.show(null));
  const take = (wanted) => (plan) => {
    for (const piece of plan.pieces) {
      const other = wanted.pieces.find((one) => one.id === piece.id);
      if (piece.at && other?.at) Object.assign(piece, { at: other.at }, other.mount ? { mount: other.mount } : {});
    }
  };
  const ask = async (before, id) => {
    empty(box, h("p", { role: "status" }, _("Looking for the fewest moves …")));
    try {
      const { plan, change } = await call("POST", `${maker.path}/plan/arrange`, { plan: before, sold: id });
      if (!change.moves.length)
        return void empty(box, h("p", { class: "sheet" }, _("The wall looks right as it is: nothing need be moved.")));
      table.show(plan);
      empty(
        box,
        h(
          "section",
          { class: "sheet stack" },
          h("h2", { tabindex: -1 }, plural("%d move closes the gap", "%d moves close the gap", change.moves.length)),
          h(
            "ol",
            { class: "stack steps" },
            change.steps.map((step) => h("li", null, step)),
          ),
          h(
            "div",
            { class: "row" },
            button(_("Moved as shown"), () => (maker.edit(take(plan)), close(), say(_("The wall is arranged."))), {
              class: "button main",
            }),
            button(_("Leave the gap"), close, { class: "button quiet" }),
          ),
        ),
      );
      box.querySelector("h2").focus({ preventScroll: true });
    } catch (error) {
      empty(box, h("p", { role: "alert" }, error.message));
    }
  };
  return { box, ask, close };
}

/** What was sold and may be made or brought again. */
function drawRestock(box, gone) {
  const line = (one) => h("li", null, plural("%1$d × %2$s", "%1$d × %2$s", one.count ?? 1, one.title ?? one.id));
  empty(box, gone.length ? [h("h2", null, _("Bring or make again")), h("ul", { class: "lines" }, gone.map(line))] : null);
  box.className = gone.length ? "sheet" : "";
}

/** Selling with one tap, the gap that it leaves, and the way back: {gap, sold(piece)}. */
function seller(maker, mend) {
  const gap = h("div", { class: "row" });
  const undo = (before, id) => () => (maker.edit((plan) => takeBack(plan, before, id)), empty(gap), mend.close());
  const offer = (before, id) =>
    connection.lost
      ? h("span", { class: "small" }, _("The moves that close it are found as soon as there is a connection."))
      : button(_("Show the fewest moves"), () => (empty(gap), mend.ask(before, id)), { class: "button main" });
  const sold = (piece) => {
    const before = maker.plan;
    const title = piece.title ?? piece.id;
    mend.close();
    maker.edit((plan) => sell(plan, piece.id));
    tell(_("%s is sold.", title), { words: _("Undo"), run: undo(before, piece.id) });
    const free = !maker.plan.pieces.find((one) => one.id === piece.id).at;
    empty(gap, free && [h("span", null, _("%s leaves a gap.", title)), offer(before, piece.id)]);
  };
  return { gap, sold };
}

function line(maker, piece, sold) {
  const photo = photoOf(maker, piece);
  const words = piece.title ?? piece.id;
  const many = (piece.count ?? 1) > 1 ? h("span", { class: "small" }, _("%d left", piece.count)) : null;
  return h(
    "li",
    null,
    h("span", { class: "shot" }, photo && h("img", { src: address(photo.urls.cutout), alt: "" })),
    h("div", { class: "stack tight" }, h("strong", null, words), many),
    sold && button(_("Sold"), () => sold(piece), { class: "button main", "aria-label": _("%s is sold", words) }),
  );
}

/** Everything that this maker's page may need on the day. */
function pathsOf(maker) {
  const drawn = ["/packing", "/files/wall.png", "/files/sheet.pdf"].map((path) => address(`${maker.path}${path}`));
  return [...drawn, ...maker.photos.flatMap((photo) => [address(photo.urls.cutout), address(photo.urls.preview)])];
}

function keeper(maker) {
  const said = h("span", { class: "small", role: "status" });
  const keep = async () => {
    said.textContent = _("Being saved on this phone …");
    said.textContent = (await keepForLater(pathsOf(maker)))
      ? _("Saved: this page now works without a network.")
      : _("Not everything could be saved. Try again with a connection.");
  };
  return h("div", { class: "row" }, "serviceWorker" in navigator && button(_("Save everything on this phone"), keep), said);
}

function papers(maker, addressOf) {
  const sheet = { class: "button", href: address(`${maker.path}/files/sheet.pdf`, {}), target: "_blank" };
  const take = { class: "button", href: addressOf(maker.id, "take") };
  return h("div", { class: "row" }, h("a", sheet, _("Set-up sheet for hanging")), h("a", take, _("What to take")));
}

export function show(main, maker, { me, addressOf }) {
  const table = stage(maker, { mayEdit: false, onchoose() {}, onmove() {}, onlive() {}, onlift() {} });
  const list = h("ul", { class: "lines sell" });
  const restock = h("section");
  const mend = mender(maker, table);
  const { gap, sold } = seller(maker, mend);
  const draw = () => {
    table.draw();
    const here = maker.plan.pieces.filter((piece) => left(piece) > 0);
    const lines = here.map((piece) => line(maker, piece, me.role !== "viewer" && sold));
    empty(list, lines.length ? lines : h("li", null, _("Nothing hangs yet.")));
    drawRestock(restock, maker.plan.sold ?? []);
  };
  maker.addEventListener("plan", draw);
  const pinned = h("div", { class: "pinned" }, table.frame);
  const sale = [gap, mend.box, h("section", { class: "sheet" }, list), restock, keeper(maker), papers(maker, addressOf)];
  fill(main, h("h1", null, _("Market day")), h("div", { class: "wall-view" }, pinned, h("div", { class: "stack" }, sale)));
  draw();
  get(`${maker.path}/packing`).catch(() => {}); // so that it is kept for the day
  return () => maker.removeEventListener("plan", draw);
}
