/* Lights the step at hand in the figure, says it in large type, and goes on: by tap, keys or pedal. What is
 * said stands in the table; nothing is worked out here but what is lit. Without it the page is a drawing, the
 * facts and the step list. */
(function () {
  "use strict";
  var root = document.documentElement;
  var view = document.getElementById("view");
  var rows = Array.prototype.slice.call(document.querySelectorAll("#list tbody tr"));
  var last = rows.length + 1; /* 0: before the first step; last: done */
  var at = 0;
  var looks = { turn: false, mirror: false, "left-handed": false, dark: false };
  var store = {
    get: function (key) {
      try { return window.localStorage.getItem(key); } catch (e) { return null; }
    },
    set: function (key, value) {
      try { window.localStorage.setItem(key, value); } catch (e) { /* a place that remembers nothing */ }
    }
  };
  var lines = {}, bridges = []; /* where each strand runs; what closes gaps that are not there yet */
  var before_jump = null; /* the step somebody jumped from */
  var place = "selvage-at-" + document.body.getAttribute("data-job");

  function element(name, class_name, text) {
    var made = document.createElement(name);
    if (class_name) made.className = class_name;
    if (text) made.textContent = text;
    return made;
  }

  function drawn(name, attributes, text) {
    var made = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (text) made.textContent = text;
    return made;
  }

  function cell(row, name) { return row.querySelector(".is-" + name).textContent; }

  /* Words as they hold for the face that is looked at. */
  function faced(text) {
    if (!looks.mirror) return text;
    var other = { over: "under", under: "over", "in front": "behind", behind: "in front" };
    return text.replace(/\b(over|under|in front|behind)\b/g, function (word) { return other[word]; });
  }

  function sentence(text) { return text.charAt(0).toUpperCase() + text.slice(1); }

  /* ---- the figure ---- */

  function points_of(path) {
    return path.getAttribute("d").match(/[-\d.]+ [-\d.]+/g).map(function (point) {
      var parts = point.split(" ");
      return { x: Number(parts[0]), y: Number(parts[1]) };
    });
  }

  /* A string is drawn with a gap where another lies on top of it. Until that one is in the bed there is
   * none: a bridge closes it. */
  function bridge_gaps(strand, lines) {
    Array.prototype.slice.call(strand.querySelectorAll(".string")).forEach(function (path) {
      var points = points_of(path);
      for (var i = 1; i + 1 < points.length; i += 2) {
        var from = points[i], to = points[i + 1];
        var middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
        var over = Object.keys(lines).filter(function (id) { return id !== strand.id && passes(lines[id], middle); })[0];
        if (!over) continue;
        var bridge = drawn("path", { "class": path.getAttribute("class") + " bridge",
          d: "M" + from.x + " " + from.y + "L" + to.x + " " + to.y });
        path.parentNode.insertBefore(bridge, path);
        bridges.push({ path: bridge, over: over });
      }
    });
  }

  function passes(line, point) {
    var x = line.to.x - line.from.x, y = line.to.y - line.from.y;
    var off = Math.abs((point.x - line.from.x) * y - (point.y - line.from.y) * x) / Math.hypot(x, y);
    var along = ((point.x - line.from.x) * x + (point.y - line.from.y) * y) / (x * x + y * y);
    return off < 1.5 && along > 0 && along < 1;
  }

  /* Every strand and loop gets what lights it, and a strand what a finger finds. */
  function prepare() {
    Array.prototype.forEach.call(document.querySelectorAll("#strands > g"), function (strand) {
      var path = strand.querySelector(".string"), points = points_of(path);
      var from = points[0], to = points[points.length - 1];
      var line = "M" + from.x + " " + from.y + "L" + to.x + " " + to.y;
      lines[strand.id] = { from: from, to: to };
      strand.insertBefore(drawn("path", { "class": "glow", d: line }), path);
      strand.appendChild(drawn("path", { "class": "touch", d: line }));
      strand.addEventListener("click", function () { find_strand(strand.id); });
    });
    Array.prototype.forEach.call(document.querySelectorAll("#strands > g"), function (strand) {
      bridge_gaps(strand, lines);
    });
    view.appendChild(drawn("g", { id: "marks" }));
    Array.prototype.forEach.call(document.querySelectorAll("#loops-front > g, #loops-back > g"), function (loop) {
      var path = loop.querySelector(".loop");
      loop.insertBefore(drawn("path", { "class": "loop-glow", d: path.getAttribute("d") }), path);
    });
  }

  /* To the step that threads a strand; from there to the one that pulls it. */
  function find_strand(id) {
    var threads = 0, pulls = 0;
    rows.forEach(function (row, i) {
      if (row.getAttribute("data-threads") === id) threads = i + 1;
      if (row.getAttribute("data-pulls") === id && pulls === 0) pulls = i + 1;
    });
    jump(threads > 0 && at !== threads ? threads : pulls || threads);
  }

  function mark(id, word) {
    var found = id && document.getElementById(id);
    if (found) found.classList.add(word);
  }

  /* What is done by a step, what lies in the bed and waits for its pull, what is to come. */
  function light() {
    var words = ["later", "waiting", "lit", "pulling", "enter", "leave", "knotted", "round"];
    words.forEach(function (word) {
      Array.prototype.forEach.call(view.querySelectorAll("." + word), function (found) {
        found.classList.remove(word);
      });
    });
    root.classList.toggle("working", at > 0 && at < last);
    document.getElementById("marks").textContent = "";
    bridges.forEach(function (bridge) { bridge.path.style.display = "none"; });
    if (at === 0 || at === last) return;
    rows.forEach(function (row, i) {
      var later = i >= at, threads = row.getAttribute("data-threads");
      ["threads", "loop", "knot"].forEach(function (what) {
        if (later) mark(row.getAttribute("data-" + what), "later");
      });
      if (!later && threads) mark(threads, "waiting");
    });
    rows.slice(0, at).forEach(function (row) {
      var pulled = document.getElementById(row.getAttribute("data-pulls") || "");
      if (pulled) pulled.classList.remove("waiting");
    });
    var row = rows[at - 1];
    mark(row.getAttribute("data-threads"), "lit");
    mark(row.getAttribute("data-loop"), "lit");
    mark(row.getAttribute("data-knot"), "lit");
    if (row.getAttribute("data-pulls") !== row.getAttribute("data-threads"))
      mark(row.getAttribute("data-pulls"), "pulling");
    mark(row.getAttribute("data-enter"), "enter");
    mark(row.getAttribute("data-leave"), "leave");
    mark(row.getAttribute("data-tie"), "knotted");
    mark(row.getAttribute("data-round"), "round");
    bridges.forEach(function (bridge) {
      if (document.getElementById(bridge.over).classList.contains("later")) bridge.path.style.display = "";
    });
    ["enter", "leave", "tie"].forEach(function (what) { name_hole(row.getAttribute("data-" + what)); });
    clamps(row).forEach(draw_clamp);
  }

  function centre(hole) {
    var circle = document.getElementById(hole).querySelector("circle");
    return { x: Number(circle.getAttribute("cx")), y: Number(circle.getAttribute("cy")) };
  }

  /* The number of a hole at hand, large, outside the hoop. */
  function name_hole(hole) {
    if (!hole || document.getElementById("named-" + hole)) return;
    var at_hole = centre(hole), middle = Number(view.getAttribute("data-middle"));
    var x = at_hole.x, y = at_hole.y - middle, far = Math.hypot(x, y);
    document.getElementById("marks").appendChild(drawn("text", { id: "named-" + hole, "class": "big-number",
      x: at_hole.x + x / far * 21, y: at_hole.y + y / far * 21 + 4 }, hole.replace(/^hole-[LR]?/, "")));
  }

  /* The clamps after a step: "fixed strand-RM6 hole-R6T=in words". */
  function clamps(row) {
    var said = row.getAttribute("data-clamps");
    return !said ? [] : said.split("|").map(function (clamp) {
      var parts = clamp.split("="), names = parts[0].split(" ");
      return { kind: names[0], strand: names[1], hole: names[2], words: parts[1] };
    });
  }

  /* A bar across the strand inside the hole; a starting clamp is a triangle outside it. */
  function draw_clamp(clamp) {
    var line = lines[clamp.strand], hole = centre(clamp.hole);
    var near_to = Math.hypot(line.to.x - hole.x, line.to.y - hole.y) < Math.hypot(line.from.x - hole.x, line.from.y - hole.y);
    var end = near_to ? line.to : line.from, other = near_to ? line.from : line.to;
    var long = Math.hypot(other.x - end.x, other.y - end.y);
    var way = { x: (other.x - end.x) / long, y: (other.y - end.y) / long };
    var fixed = clamp.kind === "fixed", far = fixed ? 19 : -27;
    var at_clamp = { x: end.x + way.x * far, y: end.y + way.y * far };
    var across = function (half, on) {
      return (at_clamp.x - way.y * half + way.x * on) + " " + (at_clamp.y + way.x * half + way.y * on);
    };
    document.getElementById("marks").appendChild(drawn("path", { "class": "clamp", d: fixed
      ? "M" + across(5.5, -1.6) + "L" + across(5.5, 1.6) + "L" + across(-5.5, 1.6) + "L" + across(-5.5, -1.6) + "Z"
      : "M" + across(4.5, -4) + "L" + across(-4.5, -4) + "L" + across(0, 4) + "Z" }));
  }

  /* ---- the weave ---- */

  /* The strand as it must look when it is right, lying as it does on the machine. */
  function strip(row) {
    var weave = row.getAttribute("data-weave");
    if (!weave) return null;
    var meets = weave.split(",").map(function (meet) { return faced(meet).split(" "); });
    var cross = /^strand-C/.test(row.getAttribute("data-threads"));
    var enter = row.getAttribute("data-enter").slice(5), leave = row.getAttribute("data-leave").slice(5);
    var backwards = cross && (enter.charAt(0) === "R") !== (looks.turn !== looks.mirror); /* mains go on to the right */
    if (backwards) meets.reverse();
    var step = 13, room = 20, wide = step * (meets.length - 1) + 2 * room, y = 17, gap = 3.2;
    var said = meets.map(function (meet) { return meet[1] + " " + meet[0]; });
    if (backwards) said.reverse();
    var picture = drawn("svg", { "class": "strip", viewBox: "0 0 " + wide + " 40", role: "img",
      "aria-label": "The weave: " + said.join(", ") });
    var line = "M6 " + y;
    meets.forEach(function (meet, i) {
      var x = room + step * i, over = meet[1] === "over";
      picture.appendChild(drawn("path", { "class": "across", d: over
        ? "M" + x + " 4V" + (y - gap) + "M" + x + " " + (y + gap) + "V30" : "M" + x + " 4V30" }));
      if (!over) line += "H" + (x - gap) + "M" + (x + gap) + " " + y;
      picture.appendChild(drawn("text", { x: x, y: 37 }, meet[0]));
    });
    picture.appendChild(drawn("path", { "class": "string-now", d: line + "H" + (wide - 6) }));
    var tip = backwards ? "M1 " + y + "l7 -4v8z" : "M" + (wide - 1) + " " + y + "l-7 -4v8z";
    picture.appendChild(drawn("path", { "class": "tip", d: tip }));
    var names = [backwards ? leave : enter, backwards ? enter : leave].map(function (hole) {
      return hole.replace(/^[LR]/, "");
    });
    picture.appendChild(drawn("text", { "class": "at", x: 8, y: 9 }, names[0]));
    picture.appendChild(drawn("text", { "class": "at", x: wide - 8, y: 9 }, names[1]));
    return picture;
  }

  /* ---- the step in large type ---- */

  function add(into, class_name, text) {
    if (text) into.appendChild(element("p", class_name, text));
  }

  function thread_block(row) {
    if (!row.hasAttribute("data-threads")) return null;
    var woven = row.hasAttribute("data-weave");
    var block = element("div", "block");
    add(block, "big", (woven ? "Weave " : "Thread ") + row.getAttribute("data-name"));
    add(block, "way", cell(row, "way"));
    add(block, "mind", row.getAttribute("data-begin"));
    add(block, "mind", faced(row.getAttribute("data-loop-words") || ""));
    add(block, "over", woven ? sentence(faced(cell(row, "first"))) + " first" : "");
    var picture = strip(row);
    if (picture) block.appendChild(picture);
    add(block, "mind", row.getAttribute("data-waits"));
    return block;
  }

  /* What is done besides, in order: "pull=Pull right M6, 26 lb". */
  function deeds(row) {
    var said = row.getAttribute("data-deeds");
    return !said ? [] : said.split("|").map(function (deed) {
      var at_mark = deed.indexOf("=");
      return { kind: deed.slice(0, at_mark), words: deed.slice(at_mark + 1) };
    });
  }

  function deed_block(row, deed) {
    if (deed.kind === "clamp") return element("p", "then", deed.words);
    var own = deed.kind === "pull" && row.getAttribute("data-pulls") === row.getAttribute("data-threads");
    var block = element("div", deed.kind === "knot" ? "block is-knot" : own ? "block" : "block is-pulled");
    add(block, "big", deed.words);
    if (deed.kind === "pull" && row.hasAttribute("data-was"))
      add(block, "mind", "Set the tensioner anew: it was " + row.getAttribute("data-was"));
    if (deed.kind === "knot" && row.hasAttribute("data-knot-words"))
      add(block, "mind", faced(row.getAttribute("data-knot-words")));
    return block;
  }

  function brief(row) {
    var parts = [];
    if (row.hasAttribute("data-threads"))
      parts.push((row.hasAttribute("data-weave") ? "weave " : "thread ") + row.getAttribute("data-name") + ", " +
        cell(row, "way"));
    deeds(row).forEach(function (deed) {
      parts.push(deed.words.charAt(0).toLowerCase() + deed.words.slice(1));
    });
    return cell(row, "end") + " end: " + parts.join("; ");
  }

  /* The step for the ear, in the order in which it is done. */
  function spoken(row) {
    var parts = ["Step " + at + " of " + rows.length + ". " + sentence(cell(row, "end")) + " end"];
    Array.prototype.forEach.call(document.querySelectorAll("#step .block p, #step .then"), function (line) {
      parts.push(line.textContent);
    });
    var picture = document.querySelector("#step .strip");
    if (picture) parts.push(picture.getAttribute("aria-label"));
    return parts.join(". ") + ".";
  }

  function show_before(step) {
    add(step, "big", "Before the first step");
    Array.prototype.forEach.call(document.getElementById("needed").children, function (list) {
      step.appendChild(list.cloneNode(true));
    });
  }

  function show_done(step) {
    add(step, "big", "Done");
    add(step, "way", "All " + rows.length + " steps are behind you.");
    add(step, "", "Look the weave over once more before the racket comes off the machine.");
    var again = element("button", "", "Start again");
    again.type = "button";
    again.addEventListener("click", function (event) {
      event.stopPropagation();
      go(0);
    });
    step.appendChild(again);
  }

  function show_step(step, row) {
    var end = element("p", "which", sentence(cell(row, "end")) + " end");
    end.insertBefore(element("span", "sample line-" + row.getAttribute("data-end")), end.firstChild);
    step.appendChild(end);
    var block = thread_block(row);
    if (block) step.appendChild(block);
    deeds(row).forEach(function (deed) { step.appendChild(deed_block(row, deed)); });
    var on = clamps(row).map(function (clamp) { return clamp.words; });
    add(step, "after", "Clamps after this step: " + (on.length > 0 ? on.join("; ") : "none"));
    add(step, "after", at < rows.length ? "Next: " + brief(rows[at]) : "This is the last step.");
  }

  function show_return() {
    var button = document.getElementById("return");
    button.hidden = before_jump === null;
    if (before_jump !== null)
      button.textContent = before_jump === 0 ? "Return to the start" : "Return to step " + before_jump;
  }

  /* Whether something of the step is still out of sight below. */
  function more_below() {
    var step = document.getElementById("step");
    var more = step.scrollTop + step.clientHeight < step.scrollHeight - 4;
    step.classList.toggle("has-more", more);
    return more;
  }

  function show() {
    var step = document.getElementById("step"), row = rows[at - 1];
    step.textContent = "";
    step.scrollTop = 0;
    if (at === 0) show_before(step);
    else if (at === last) show_done(step);
    else show_step(step, row);
    document.getElementById("where").textContent =
      at === 0 ? rows.length + " steps" : at === last ? "All steps done" : "Step " + at + " of " + rows.length;
    document.getElementById("said").textContent =
      at === 0 ? "Before the first step" : at === last ? "All steps are done" : spoken(row);
    var progress = document.getElementById("progress");
    progress.max = rows.length;
    progress.value = Math.min(at, rows.length);
    document.getElementById("back").disabled = at === 0;
    document.getElementById("next").disabled = at === last;
    document.getElementById("next").textContent = at === 0 ? "Start" : at === rows.length ? "Done" : "Next";
    rows.forEach(function (other, i) {
      if (i === at - 1) other.setAttribute("aria-current", "step");
      else other.removeAttribute("aria-current");
    });
    light();
    show_return();
    more_below();
  }

  /* Nothing of a step is passed over unseen: what is below comes first. */
  function go_on() {
    var step = document.getElementById("step");
    if (at > 0 && at < last && more_below()) {
      step.scrollTop += step.clientHeight - 24;
      more_below();
    } else {
      if (before_jump !== null && at !== 0) before_jump = null;
      go(at + 1);
    }
  }

  /* Somewhere else, with a way back. */
  function jump(to) {
    if (to === at) return;
    before_jump = at === last ? before_jump : at;
    go(to);
  }

  function go(to) {
    at = Math.max(0, Math.min(last, to));
    store.set(place, String(at));
    try { history.replaceState(null, "", "#at-" + at); } catch (e) { /* the place is stored all the same */ }
    show();
  }

  /* ---- views ---- */

  function name_face(face) {
    Array.prototype.forEach.call(document.querySelectorAll("#places text, #drawn"), function (text) {
      text.textContent = text.textContent.replace(/seen from the (front|back)/, "seen from the " + face);
    });
  }

  function look() {
    var middle = Number(view.getAttribute("data-middle"));
    var flip_x = looks.turn !== looks.mirror, flip_y = looks.turn;
    view.setAttribute("transform", "matrix(" + (flip_x ? -1 : 1) + " 0 0 " + (flip_y ? -1 : 1) + " 0 " +
      (flip_y ? 2 * middle : 0) + ")");
    view.setAttribute("class", (flip_x ? "flip-x " : "") + (flip_y ? "flip-y " : "") +
      (looks.mirror ? "from-back" : ""));
    name_face(looks.mirror ? "back" : "front");
    root.classList.toggle("dark", looks.dark);
    root.classList.toggle("left-handed", looks["left-handed"]);
    Object.keys(looks).forEach(function (name) {
      document.getElementById(name).setAttribute("aria-pressed", String(looks[name]));
    });
    show();
  }

  function recall() {
    var kept = null;
    try { kept = JSON.parse(store.get("selvage-looks") || "null"); } catch (e) { kept = null; }
    looks.dark = !!(window.matchMedia && window.matchMedia("(prefers-color-scheme: dark)").matches);
    Object.keys(looks).forEach(function (name) {
      if (kept && typeof kept[name] === "boolean") looks[name] = kept[name];
    });
    var said = /^#at-(\d+)$/.exec(window.location.hash);
    var to = said ? Number(said[1]) : Number(store.get(place));
    at = to >= 0 && to <= last ? to : 0;
  }

  /* ---- hands ---- */

  /* A tap leaves no button behind that the next space would press again. */
  function on_tap(name, act) {
    document.getElementById(name).addEventListener("click", function (event) {
      if (event.detail > 0) event.currentTarget.blur();
      act();
    });
  }

  function listen() {
    on_tap("next", go_on);
    on_tap("back", function () { go(at - 1); });
    on_tap("return", function () {
      var to = before_jump;
      before_jump = null;
      go(to);
    });
    on_tap("print", function () { window.print(); });
    document.getElementById("step").addEventListener("click", function () {
      if (at > 0 && String(window.getSelection()) === "") go_on();
    });
    document.getElementById("step").addEventListener("scroll", more_below);
    Object.keys(looks).forEach(function (name) {
      on_tap(name, function () {
        looks[name] = !looks[name];
        store.set("selvage-looks", JSON.stringify(looks));
        look();
      });
    });
    rows.forEach(function (row, i) {
      var head = row.querySelector("th"), button = element("button", "", head.textContent);
      button.type = "button";
      button.setAttribute("aria-label", "Go to step " + (i + 1));
      head.textContent = "";
      head.appendChild(button);
      button.addEventListener("click", function () {
        jump(i + 1);
        window.scrollTo(0, 0);
      });
    });
    document.addEventListener("keydown", pressed);
    window.addEventListener("hashchange", function () {
      var said = /^#at-(\d+)$/.exec(window.location.hash);
      if (said && Number(said[1]) !== at) go(Number(said[1]));
    });
  }

  /* A pedal that is held is pressed once. */
  function pressed(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    var on_button = event.target.tagName === "BUTTON";
    var moves = { PageDown: 1, ArrowRight: 1, PageUp: -1, ArrowLeft: -1, Backspace: -1, Home: 0, End: 0 };
    if (!on_button) moves[" "] = moves.Enter = event.shiftKey ? -1 : 1;
    if (!(event.key in moves)) return;
    event.preventDefault();
    if (event.repeat) return;
    if (event.key === "Home") jump(0);
    else if (event.key === "End") jump(last);
    else if (moves[event.key] > 0) go_on();
    else go(at - 1);
  }

  /* A tablet that goes to sleep in the middle of a job is no help. */
  function stay_awake() {
    if (!navigator.wakeLock || document.visibilityState !== "visible") return;
    navigator.wakeLock.request("screen").catch(function () { /* it may sleep then */ });
  }

  function measure() {
    root.style.setProperty("--head", document.querySelector("header").offsetHeight + "px");
  }

  root.classList.add("scripted");
  prepare();
  listen();
  recall();
  look();
  measure();
  window.addEventListener("resize", function () {
    measure();
    more_below();
  });
  window.addEventListener("beforeprint", function () { name_face("front"); });
  window.addEventListener("afterprint", look);
  document.addEventListener("visibilitychange", stay_awake);
  stay_awake();
}());
