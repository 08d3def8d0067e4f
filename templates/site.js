// Filters the list as it is typed. The page is whole without it.
(function () {
  "use strict";
  var byId = function (id) { return document.getElementById(id); };
  var all = function (root, selector) { return Array.prototype.slice.call(root.querySelectorAll(selector)); };
  // "p133", "P 133" and "P-133" are the same tag to whoever looks for it.
  var plain = function (text) { return text.toLowerCase().normalize("NFKD").replace(/[^\p{L}\p{N}\s]/gu, ""); };
  var tight = function (text) { return plain(text).replace(/\s+/g, ""); };
  var groups = all(byId("tags"), ".group").map(function (group) {
    return { node: group, entries: all(group, ".entry").map(function (entry) {
      return { node: entry, words: plain(entry.dataset.words), tight: tight(entry.dataset.words) };
    }) };
  });
  var jumps = all(document, ".jump, #refused");
  var box = byId("q");

  function matches(entry, words, whole) {
    return (whole !== "" && entry.tight.indexOf(whole) !== -1) || words.every(function (word) { return entry.words.indexOf(word) !== -1; });
  }

  function filter() {
    var whole = tight(box.value);
    var words = plain(box.value).split(/\s+/).filter(function (word) { return word !== ""; });
    var shown = 0;
    groups.forEach(function (group) {
      var here = 0;
      group.entries.forEach(function (entry) {
        var on = matches(entry, words, whole);
        entry.node.hidden = !on;
        if (on) { here += 1; }
      });
      group.node.hidden = here === 0;
      shown += here;
    });
    jumps.forEach(function (jump) { jump.hidden = whole !== ""; });
    byId("found").textContent = whole === "" ? "" : shown === 0 ? "Nothing found. Try the tag alone." : shown === 1 ? "1 procedure" : shown + " procedures";
  }

  byId("find").hidden = false;
  box.addEventListener("input", filter);
  box.addEventListener("keydown", function (event) { if (event.key === "Escape") { box.value = ""; filter(); } });
  filter();
}());
