// The page that opens a plan from a code or a file: what came is read, worked out and shown, or refused in words.
// Opening stores nothing; keeping does.

import { localDay } from "./core/civil.js";
import { clock, dayText } from "./core/say.js";
import { CodeError } from "./codes/digits.js";
import { WAIT, make, part, tell } from "./touch/dom.js";
import { arrived, hasShot } from "./keep/host.js";
import { openPlans } from "./phones/keptplans.js";
import { logWords } from "./takes/log.js";
import { loadNights, sentence } from "./shown/nights.js";
import { MOST_BYTES, PlanFileError, checked, nameOf, readPlan, writePlan } from "./codes/planfile.js";
import { startShell } from "./shell.js";

const LEFT_BEHIND = "Not with it: its checklist, way in, crew, notes, and when to stop";
const NOT_LOADED = "A part of this page did not load: load it again.";
const UNKNOWN = "This page could not work it out: load the page again.";
const BY_CODE = "; nor what its night must have, and tides of other nights";

/**
 * What came, and from where: via begins a sentence; is_short: by a code, which leaves out more than a file.
 * @typedef {import("./codes/planfile.js").PlanRead & {via: string, is_short: boolean, kept_ms: number | null}} Arrived
 */

const { site } = startShell();
const plans = openPlans(site);

start();

function start() {
  const file = /** @type {HTMLInputElement} */ (part("file"));
  file.addEventListener("change", async () => {
    const chosen = file.files?.[0];
    if (chosen) await receive(() => ofFile(chosen));
    file.value = ""; // the same file may be chosen again
  });
  addEventListener("hashchange", () => location.reload()); // a scan while the page is open only changes the address
  const [how, what] = [location.hash.slice(0, 3), location.hash.slice(3)];
  if (how === "#p=") receive(() => ofCode(what));
  if (how === "#k=") receive(() => ofStore(what));
}

/** @param {string} digits @returns {Promise<Arrived>} */
async function ofCode(digits) {
  const { briefOf } = await import("./codes/plancode.js").catch(notLoaded);
  try {
    const { revision, ...brief } = briefOf(digits);
    return { ...checked(brief, revision), via: "From a code", is_short: true, kept_ms: null };
  } catch (error) {
    if (!(error instanceof CodeError)) throw error;
    throw new PlanFileError(error.message);
  }
}

/** @param {File} file @returns {Promise<Arrived>} */
async function ofFile(file) {
  if (file.size > MOST_BYTES) throw new PlanFileError("This file is larger than 2 MB: it is not a plan.");
  return { ...readPlan(await file.text()), via: "From a file", is_short: false, kept_ms: null };
}

/** @param {string} name @returns {Promise<Arrived>} */
async function ofStore(name) {
  const kept = await plans.get(name);
  if (!kept) throw new PlanFileError("That plan is not kept on this phone any more.");
  return { ...readPlan(kept.text), via: "Kept on this phone", is_short: kept.is_short, kept_ms: kept.kept_ms };
}

/** Opens what is found, or says why not. @param {() => Promise<Arrived>} find */
async function receive(find) {
  try {
    tell("not-opened", WAIT);
    await open(await find());
  } catch (error) {
    const is_known = error instanceof PlanFileError;
    tell("not-opened", `Not opened. ${is_known ? error.message : UNKNOWN} Nothing on this phone has changed.`);
    if (!is_known) throw error;
  }
}

/** @param {Arrived} came */
async function open(came) {
  const { brief, revision } = came;
  const page = await ownPage(brief.shot.id);
  if (page?.revision === revision) return location.replace(page.address);
  const years = (part("opened").dataset.years ?? "").split(" ");
  const reach = await loadNights(site.root, years, null, brief.night.date);
  if (reach.bar !== "") throw new PlanFileError(`${sentence(reach.bar)}, and without it no plan can be worked out.`);
  const { showPlan } = await import("./unhurried.js").catch(notLoaded);
  const address = () => new URL("open/#p=", site.root).href;
  showPlan(came, reach, address, `${site.prefix}turned|${nameOf(came)}`);
  showOrigin(came, page);
}

/** @returns {never} */
function notLoaded() {
  throw new PlanFileError(NOT_LOADED);
}

/** The site's own page of a shot of that name, and its revision; null where there is none. @param {string} shot */
async function ownPage(shot) {
  if (!(await hasShot(site.root, shot))) return null;
  const path = `shots/${shot}/`;
  const bytes = await arrived(site.root, `${path}index.html`).catch(() => null);
  const found = bytes && /revision <b>([0-9A-Z]{6})<\/b>/.exec(new TextDecoder().decode(bytes));
  return found ? { address: new URL(path, site.root).href, revision: found[1] } : null;
}

/** What this is, and what did not come with it. @param {Arrived} came @param {{address: string, revision: string} | null} page */
function showOrigin(came, page) {
  const { revision, via, is_short, kept_ms } = came;
  const since = kept_ms === null ? "" : ` since ${whenText(kept_ms, came.brief.place.zone.spans)}`;
  const head = make("strong", {}, `${via}${since}, revision ${revision}`);
  const lines = [make("p", {}, `${LEFT_BEHIND}${is_short ? BY_CODE : ""}. Nothing is ticked here.`)];
  if (page) {
    const link = make("a", { href: page.address }, "its page");
    lines.push(
      make("p", {}, `This phone has this shot as revision ${page.revision}, on `, link, ". Their numbers may differ."),
    );
  }
  const said = make("p", { hidden: true });
  said.setAttribute("role", "status");
  part("origin").replaceChildren(head, ...lines, said, ...(kept_ms === null ? [keepButton(came, said)] : []));
}

/** @param {number} utc_ms @param {Span[]} spans */
function whenText(utc_ms, spans) {
  return `${dayText(localDay(spans, utc_ms / 1000))}, ${clock(utc_ms, spans)}`;
}

/** What the phone refuses is said. @param {Arrived} came @param {HTMLElement} said */
function keepButton(came, said) {
  const keep = make("button", { type: "button" }, "Keep it on this phone");
  keep.addEventListener("click", async () => {
    const [name, kept_ms] = [nameOf(came), Date.now()];
    try {
      await plans.keep({ name, text: writePlan(came), is_short: came.is_short, kept_ms });
      history.replaceState(null, "", `#k=${name}`); // a reload shows the kept one
      keep.remove();
      said.textContent = "Kept: it stands with the list of shots.";
    } catch (error) {
      said.textContent = logWords(/** @type {Error} */ (error));
    }
    said.hidden = false;
  });
  return keep;
}
