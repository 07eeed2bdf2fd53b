// SPDX-License-Identifier: MIT
// Opens the page: who is here, in which language, and which view the address names.
import { useDefaults } from "./defaults.js";
import { drawFoot } from "./foot.js";
import { _, useUnits, useWords } from "./words.js";
import { button, empty, field, h, say, tell, useCloseWords } from "./dom.js";
import { base, call, connection, get, probe, useCsrf, viaLink } from "./server.js";
import { MAKERS } from "./desk.js";
import { Maker } from "./maker.js";
import { startWorker } from "./offline.js";
import { queue, resume } from "./queue.js";

// Named one by one, so that the build finds them and puts all into one file.
const VIEWS = {
  "": () => import("./pieces.js"),
  piece: () => import("./piece.js"),
  cloths: () => import("./cloths.js"),
  compare: () => import("./compare.js"),
  wall: () => import("./wall.js"),
  take: () => import("./take.js"),
  share: () => import("./share.js"),
  photos: () => import("./photo_help.js"),
  market: () => import("./market.js"),
};
let first = true; // nothing was shown yet
let me = null;
let maker = null;
let stopFollowing = null;
let leave = null; // what the view before wants done when it goes

const main = h("main", { id: "main", tabindex: -1 });
const lost = h("p", { class: "lost", role: "status", hidden: true });
const state = h("span", { class: "state" });
const home = h(
  "a",
  { class: "home", href: `${base}/` },
  h("img", { src: "/page/mark.svg", alt: "", width: 32, height: 32 }),
  h("span", null, "backcloth"),
);
const rod = h("nav", { class: "rod", hidden: true });
const foot = h("footer", { class: "foot row" });

const place = (...parts) => [base, ...parts].join("/");
const addressOf = (id, view = "", more = "") => place("maker", id, ...(view ? [view] : []), ...(more ? [more] : []));

function steps(current) {
  const all = [
    ["", _("Pieces")],
    ["cloths", _("Cloths")],
    ["wall", _("Wall")],
    ["take", _("To take")],
    ["market", _("Market")],
    ["share", _("Share")],
  ];
  const here = { piece: "", photos: "", compare: "cloths" }[current] ?? current;
  rod.setAttribute("aria-label", _("From photo to wall"));
  empty(
    rod,
    h(
      "ul",
      null,
      all.map(([view, words]) =>
        h("li", null, h("a", { href: addressOf(maker.id, view), "aria-current": view === here ? "page" : null }, words)),
      ),
    ),
  );
  rod.hidden = false;
  rod.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
}

function showState() {
  lost.hidden = !connection.lost;
  lost.textContent = _(
    "There is no connection. You can go on: photos and changes wait in this browser and are sent as soon as it is back.",
  );
  const waiting = queue.items.filter((item) => item.state !== "refused").length;
  const unsaved = maker && !maker.saved;
  state.textContent =
    connection.lost && (unsaved || waiting)
      ? _("Waits to be saved")
      : unsaved
        ? _("Saving …")
        : waiting
          ? _("Photos being sent")
          : maker
            ? _("All saved")
            : "";
}

async function openMaker(id, isLate) {
  if (maker?.id === id) return;
  stopFollowing?.();
  const loaded = await new Maker(id).load();
  if (isLate()) return;
  maker = loaded;
  for (const name of ["saving", "change"]) maker.addEventListener(name, showState);
  maker.addEventListener("merged", (event) =>
    tell(
      event.overruled.length
        ? _(
            "Somebody else changed this plan at the same time. Both are kept; where you both changed the same thing, yours stands.",
          )
        : _("Somebody else changed this plan at the same time. Both changes are kept."),
    ),
  );
  maker.addEventListener("refused", (event) =>
    tell(event.message, { words: _("Go back to what is saved"), run: () => maker.abandon() }),
  );
  stopFollowing = maker.follow();
}

/** Whoever has one maker only begins there; the name above leads to the desk. */
async function firstPlace(parts) {
  const isFirst = first;
  first = false;
  if (!isFirst || parts.length || me.role !== "owner") return null;
  const makers = await get(MAKERS);
  if (makers.length === 1) history.replaceState(null, "", addressOf(makers[0].id));
  return makers;
}

/** Only what was asked for last is shown: whoever goes back while a maker is still on its way stays back. */
let asked = 0;
async function show() {
  const mine = ++asked;
  const isLate = () => mine !== asked;
  let makers = null;
  try {
    makers = await firstPlace(location.pathname.slice(base.length).split("/").filter(Boolean));
  } catch {
    // The desk asks again, and says what is wrong.
  }
  if (isLate()) return;
  const parts = location.pathname.slice(base.length).split("/").filter(Boolean).map(decodeURIComponent);
  const own = me.maker ?? (parts[0] === "maker" ? parts[1] : null);
  leave?.();
  leave = null;
  main.setAttribute("aria-busy", "true");
  try {
    const left = own ? await showMaker(own, parts, isLate) : await showDesk(makers, isLate);
    if (isLate()) return void left?.();
    leave = left;
    const title = main.querySelector("h1")?.textContent;
    document.title = title ? `${title} · backcloth` : "backcloth";
    say(title ?? "");
  } catch (error) {
    if (isLate()) return;
    if (error.status === 401) return enter();
    empty(
      main,
      h("h1", null, _("This cannot be shown just now")),
      h("p", null, error.message),
      button(_("Try again"), show, { class: "button main" }),
    );
  }
  main.removeAttribute("aria-busy");
  showState();
}

async function showMaker(own, parts, isLate) {
  const view = parts[0] === "maker" ? (parts[2] ?? "") : "";
  if (!Object.hasOwn(VIEWS, view)) throw new Error(_("There is no such page. Choose one of the steps above."));
  const [module] = await Promise.all([VIEWS[view](), openMaker(own, isLate)]);
  if (isLate()) return null;
  home.lastChild.textContent = maker.name;
  steps(view);
  empty(main);
  return module.show(main, maker, { me, parts: parts.slice(3), addressOf, go });
}

async function showDesk(makers, isLate) {
  stopFollowing?.();
  maker = stopFollowing = null;
  rod.hidden = true;
  home.lastChild.textContent = "backcloth";
  const module = await import("./desk.js");
  if (isLate()) return null;
  empty(main);
  return module.show(main, { me, addressOf, go, makers });
}

function go(path) {
  history.pushState(null, "", path);
  show().then(() => (main.focus({ preventScroll: true }), scrollTo(0, 0)));
}
addEventListener("popstate", () => show());
document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href]");
  if (
    !link ||
    event.defaultPrevented ||
    event.ctrlKey ||
    event.metaKey ||
    event.shiftKey ||
    link.target ||
    link.hasAttribute("download")
  )
    return;
  const url = new URL(link.href);
  if (url.origin !== location.origin || url.hash || url.pathname.startsWith("/api/")) return;
  event.preventDefault();
  go(url.pathname);
});

function enter() {
  const password = h("input", { type: "password", autocomplete: "current-password", required: true });
  const wrong = h("p", { role: "alert" });
  rod.hidden = true;
  empty(
    main,
    h("h1", null, _("Log in with your password")),
    h(
      "form",
      {
        class: "sheet stack narrow",
        onsubmit: async (event) => {
          event.preventDefault();
          try {
            await call("POST", "/api/enter", { password: password.value });
            location.reload();
          } catch (error) {
            wrong.textContent = error.message;
            password.select();
          }
        },
      },
      h("input", { autocomplete: "username", value: "owner", hidden: true }),
      field(_("Password"), password),
      wrong,
      h("button", { class: "button main" }, _("Log in")),
    ),
  );
  main.removeAttribute("aria-busy");
  password.focus();
}

async function start() {
  me = await get("/api/me");
  useCsrf(me.csrf);
  useUnits(me.units);
  useDefaults(me.defaults);
  const rtl = me.languages?.find((one) => one.code === me.language)?.rtl;
  document.documentElement.lang = me.language;
  document.documentElement.dir = rtl ? "rtl" : "ltr";
  useWords(me.language, me.language === "en" ? {} : await call("GET", `/api/words?language=${me.language}`), rtl);
  useCloseWords(_("Close"));
  document.body.prepend(
    h("a", { class: "skip", href: "#main" }, _("Skip to the content")),
    lost,
    h("header", { class: "top" }, home, state),
    rod,
    main,
    foot,
  );
  drawFoot(foot, me);
  connection.addEventListener("change", () => (showState(), !connection.lost && maker && !maker.saved && maker.send()));
  queue.addEventListener("change", showState);
  queue.addEventListener(
    "saved",
    (event) =>
      maker &&
      event.maker === maker.id &&
      event.kind === "piece" &&
      (maker.putPhoto(event.photo), maker.saved && maker.loadPlan().catch(() => {})),
  );
  if (!me.role || me.role === "nobody") return enter();
  await show();
  if (me.role !== "viewer") resume();
  startWorker();
}

start().catch((error) => {
  if (error.status === 401) return void (document.body.prepend(main), enter());
  document.body.prepend(
    h(
      "main",
      null,
      h("h1", null, "backcloth"),
      h("p", null, error.message),
      button(_("Try again"), () => location.reload(), { class: "button main" }),
    ),
  );
  if (!viaLink) probe();
});
