// Keeps the place and the entries of one packet on one tablet. The page is whole without it: nothing here is needed to read or print.
(function () {
  "use strict";
  var body = document.body.dataset;
  var KEY = "packet:" + body.key;
  var EARLIER = KEY + ":earlier";
  var TWICE = 300;
  var byId = function (id) { return document.getElementById(id); };
  var all = function (selector) { return Array.prototype.slice.call(document.querySelectorAll(selector)); };
  var fields = all("main input");
  var ticks = all("input[data-step]");
  var holds = all("[data-hold]");
  var store = null;
  var pending = null;
  var past = [];
  var lastTick = -TWICE;
  var dirty = false;

  // ----- remembering, honestly -----

  function openStore() {
    try {
      var probe = KEY + ":probe";
      localStorage.setItem(probe, "1");
      var kept = localStorage.getItem(probe) === "1";
      localStorage.removeItem(probe);
      return kept ? localStorage : null;
    } catch (refused) {
      return null;
    }
  }

  function saved(said, lost) {
    var line = byId("saved");
    line.hidden = false;
    line.classList.toggle("lost", lost);
    if (line.textContent !== said) { line.textContent = said; }
  }

  function notSaved(why) {
    store = null;
    saved("Not saved: keep this page open" + (why ? " (" + why + ")" : ""), true);
  }

  function state() {
    var entries = {};
    fields.forEach(function (field) {
      if (field.type === "checkbox") {
        if (field.checked) { entries[field.id] = true; }
      } else if (field.value !== "") {
        entries[field.id] = field.value;
      }
    });
    return entries;
  }

  function save() {
    dirty = true;
    if (!store || pending) { return; }
    try {
      var text = JSON.stringify({ at: stamp(), entries: state() });
      store.setItem(KEY, text);
      if (store.getItem(KEY) !== text) { throw new Error("not kept"); }
      saved("Saved on this tablet", false);
    } catch (refused) {
      notSaved("");
    }
  }

  function fill(entries) {
    fields.forEach(function (field) {
      var value = Object.prototype.hasOwnProperty.call(entries, field.id) ? entries[field.id] : null;
      if (field.type === "checkbox") { field.checked = value === true; } else { field.value = typeof value === "string" ? value : ""; }
      if (field.dataset.limit) { judge(field); }
      copy(field);
    });
    holds.forEach(judgeHold);
    progress();
  }

  function readStored() {
    try {
      var kept = JSON.parse(store.getItem(KEY));
      return kept && kept.entries && Object.keys(kept.entries).length > 0 ? kept : null;
    } catch (unreadable) {
      return null;
    }
  }

  function offerResume(kept) {
    pending = kept;
    var done = ticks.filter(function (tick) { return kept.entries[tick.id] === true; });
    var last = done.length ? "step " + done[done.length - 1].dataset.step + " was the last one ticked" : "no step was ticked";
    byId("resume-what").textContent = "Last entry " + kept.at + "; " + last + ". Resume it, or start new? Until you choose, nothing is saved.";
    byId("resume").hidden = false;
  }

  function startNew() {
    var before = state();
    if (store) {
      try {
        var kept = store.getItem(KEY);
        if (kept) { store.setItem(EARLIER, kept); }
        store.removeItem(KEY);
      } catch (refused) { notSaved(""); }
    }
    if (pending) { before = pending.entries; }
    closeResume();
    fill({});
    remember("Started new.", function () { fill(before); });
    save();
  }

  function closeResume() {
    pending = null;
    byId("resume").hidden = true;
  }

  // ----- saying and undoing -----

  function say(text) { byId("said").textContent = text; }

  function remember(text, back) {
    past.push({ text: text, back: back });
    if (past.length > 100) { past.shift(); }
    byId("undo").disabled = false;
    say(text);
  }

  function undo() {
    var last = past.pop();
    if (!last) { return; }
    last.back();
    say("Taken back: " + last.text);
    byId("undo").disabled = past.length === 0;
    progress();
    save();
  }

  // ----- steps and hold points -----

  function stamp() {
    var now = new Date();
    var two = function (number) { return (number < 10 ? "0" : "") + number; };
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate()) + " " + two(now.getHours()) + ":" + two(now.getMinutes());
  }

  function nextTick() {
    for (var index = 0; index < ticks.length; index += 1) { if (!ticks[index].checked) { return ticks[index]; } }
    return null;
  }

  function progress() {
    var next = nextTick();
    var total = body.steps;
    byId("progress").textContent = next ? "Step " + next.dataset.step + " of " + total : "All " + total + " steps ticked";
    all(".step.here").forEach(function (step) { step.classList.remove("here"); });
    if (next) { next.closest(".step").classList.add("here"); }
    byId("next").textContent = next ? "Step " + next.dataset.step : "Record";
  }

  function marks(hold) {
    return Array.prototype.map.call(hold.querySelectorAll("input"), function (input) { return input.value.trim(); });
  }

  function same(one, other) { return one !== "" && one.toLowerCase() === other.toLowerCase(); }

  function isSigned(hold) {
    var mark = marks(hold);
    return mark.every(function (text) { return text !== ""; }) && !same(mark[0], mark[2]);
  }

  function judgeHold(hold) {
    var mark = marks(hold);
    var said = hold.querySelector(".hold-said");
    var text = "";
    if (same(mark[0], mark[2])) {
      text = "The second mark must be another person's.";
    } else if (isSigned(hold)) {
      text = hold.dataset.hold + " is signed by two people.";
    }
    if (said.textContent !== text) { said.textContent = text; }
  }

  function openHoldBefore(number) {
    return holds.filter(function (hold) { return Number(hold.dataset.after) < number && !isSigned(hold); })[0];
  }

  function onTick(event) {
    var tick = event.target;
    if (event.timeStamp - lastTick < TWICE) { event.preventDefault(); return; }
    lastTick = event.timeStamp;
    if (pending) {
      event.preventDefault();
      byId("resume").scrollIntoView();
      say("First choose at the top: resume, or start new.");
      return;
    }
    var hold = tick.checked && tick.dataset.step && openHoldBefore(Number(tick.dataset.step));
    if (hold) {
      event.preventDefault();
      say("Stop: hold point " + hold.dataset.hold + " is not signed.");
      hold.scrollIntoView({ block: "center" });
      return;
    }
    var on = tick.checked;
    var name = tick.dataset.step ? "Step " + tick.dataset.step : "Line";
    remember(name + (on ? " ticked." : " not ticked."), function () { tick.checked = !on; });
    progress();
    save();
  }

  // ----- readings -----

  // A decimal comma counts as a point. Where it could also divide thousands, both meanings are held against the limit.
  function meanings(text) {
    var plain = text.trim().replace(/^\u2212/, "-");
    if (!/^[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)$/.test(plain)) { return []; }
    var value = Number(plain.replace(",", "."));
    return /\d,\d{3}$/.test(plain) ? [value, Number(plain.replace(",", ""))] : [value];
  }

  // Only a plain number is judged, by the ends of the limit; all else is left to the reader.
  function outside(field) {
    var low = field.dataset.low;
    var high = field.dataset.high;
    return meanings(field.value).some(function (value) {
      return (low !== undefined && value < Number(low)) || (high !== undefined && value > Number(high));
    });
  }

  function judge(field) {
    var bad = outside(field);
    if (bad) { field.setAttribute("aria-invalid", "true"); } else { field.removeAttribute("aria-invalid"); }
    var entry = field.closest(".entry");
    var line = entry && entry.querySelector(".outside");
    if (line) { line.classList.toggle("alarm", entry.querySelector("[aria-invalid]") !== null); }
    return bad;
  }

  function copy(field) {
    all("[data-of=\"" + field.id + "\"]").forEach(function (cell) { cell.textContent = field.value; });
  }

  function onInput(event) {
    var field = event.target;
    if (field.type === "checkbox") { return; }
    copy(field);
    var hold = field.closest("[data-hold]");
    if (hold) { judgeHold(hold); }
    if (field.dataset.limit && field.getAttribute("aria-invalid")) { judge(field); }
    save();
  }

  function onChange(event) {
    var field = event.target;
    if (!field.dataset.limit) { return; }
    var bad = judge(field);
    if (!bad && field.value.indexOf(",") >= 0 && meanings(field.value).length > 0) { say("The comma is read as a decimal point: " + meanings(field.value)[0] + "."); }
    if (!bad) { return; }
    var line = field.closest(".entry").querySelector(".outside");
    say("Outside the limit " + field.dataset.limit + ". " + (line ? line.textContent : "Stop. Tell the supervisor."));
  }

  function onNow(event) {
    var field = byId(event.currentTarget.dataset.now);
    var before = field.value;
    var put = function (text) {
      field.value = text;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    };
    put(stamp());
    remember("Time " + field.value + " entered.", function () { put(before); });
  }

  // ----- taking the record away -----

  function words(field) {
    var label = field.getAttribute("aria-label") || (field.labels && field.labels[0] ? field.labels[0].textContent : "");
    var group = field.closest("fieldset");
    var legend = group && group.querySelector("legend");
    return ((legend ? legend.textContent + ": " : "") + label).replace(/\s+/g, " ").trim();
  }

  function exportRecord() {
    var entries = fields.map(function (field) {
      return { id: field.id, what: words(field), entry: field.type === "checkbox" ? field.checked : field.value };
    }).filter(function (entry) { return entry.entry !== "" && entry.entry !== false; });
    var record = { record: 1, document: body.document, tag: body.tag, revision: body.revision, source: body.source, words: body.words, exported: stamp(), entries: entries };
    var link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(record, null, 1) + "\n"], { type: "application/json" }));
    link.download = ("record-" + body.document + "-" + body.tag + "-" + record.exported).replace(/[^A-Za-z0-9.-]+/g, "-") + ".json";
    document.body.appendChild(link);
    link.click();
    link.remove();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 60000);
    dirty = false;
    say("Record handed to the browser as " + link.download + ". Look that it arrived.");
  }

  // ----- setting up -----

  fields.forEach(function (field) { field.autocomplete = "off"; });
  all(".scripted, .now").forEach(function (part) { part.hidden = false; });
  document.addEventListener("click", function (event) {
    var target = event.target;
    if (target.type === "checkbox") { onTick(event); }
  });
  document.addEventListener("input", onInput);
  document.addEventListener("change", onChange);
  all("[data-now]").forEach(function (button) { button.addEventListener("click", onNow); });
  all("[data-do]").forEach(function (button) {
    button.addEventListener("click", { "export": exportRecord, print: function () { window.print(); }, "new": startNew }[button.dataset["do"]]);
  });
  byId("undo").addEventListener("click", undo);
  byId("next").addEventListener("click", function () {
    var next = nextTick();
    if (next) { next.focus({ preventScroll: true }); next.closest(".step").scrollIntoView({ block: "center" }); } else { byId("record").scrollIntoView(); }
  });
  byId("resume-go").addEventListener("click", function () {
    var kept = pending;
    closeResume();
    fill(kept.entries);
    save();
    say("Resumed from " + kept.at + ".");
  });
  byId("resume-new").addEventListener("click", startNew);
  window.addEventListener("storage", function (event) {
    if (event.key === KEY && store) { notSaved("this packet is open a second time"); }
  });
  window.addEventListener("beforeunload", function (event) {
    if (dirty && !store) { event.preventDefault(); event.returnValue = ""; }
  });

  store = openStore();
  fill({});
  if (store) {
    saved("Saved on this tablet", false);
    var kept = readStored();
    if (kept) { offerResume(kept); }
  } else {
    notSaved("");
  }
}());
