(function () {
  var day = JSON.parse(document.getElementById("day").textContent);
  var place = "costing day " + day.mark, taps = [], asking = null, latest = 0;
  var said = document.getElementById("said"), undo = document.getElementById("undo");
  function two(number) { return (number < 10 ? "0" : "") + number; }
  function clock(at) { return two(at.getHours()) + ":" + two(at.getMinutes()); }
  function stamp(at) {
    return at.getFullYear() + "-" + two(at.getMonth() + 1) + "-" + two(at.getDate()) + " " +
      clock(at) + ":" + two(at.getSeconds());
  }
  function time(text) {
    var found = /^(\d+)-(\d+)-(\d+) (\d+):(\d+):(\d+)$/.exec(text);
    return new Date(+found[1], found[2] - 1, +found[3], +found[4], +found[5], +found[6]).getTime();
  }
  function keep() {
    try { localStorage.setItem(place, JSON.stringify(taps)); return true; }
    catch (fault) { return false; }
  }
  function load() {
    try { taps = JSON.parse(localStorage.getItem(place)) || []; } catch (fault) { taps = []; }
  }
  function standing(all) {
    var kept = [];
    all.forEach(function (tap) {
      if (tap.event !== "undone") { kept.push(tap); return; }
      for (var at = kept.length - 1; at >= 0; at--) {
        if (kept[at].what === tap.what) { kept.splice(at, 1); return; }
      }
    });
    return kept;
  }
  function since() { return standing(taps); }
  function log(what, event, temperature) {
    var at = new Date(Math.max(Date.now(), latest + 1000)), text = stamp(at);
    load();
    while (taps.some(function (tap) { return tap.when === text; })) {
      at = new Date(at.getTime() + 1000); text = stamp(at);
    }
    latest = at.getTime() - at.getTime() % 1000;
    taps.push({ when: text, what: what, event: event, temperature: temperature || "" });
    var kept = keep();
    asking = null;
    draw();
    say(what + ": " + event + (temperature ? " " + temperature : "") + " at " + clock(at) +
      (kept ? "." : ". This browser keeps nothing: write it down."));
    send();
  }
  function say(text) { said.textContent = text; }
  var sending = false, away = false;
  function send() {
    if (!day.send || sending) { return; }
    load();
    var some = taps.slice(0, 100), asked = some.length ? day.send : "state";
    sending = true;
    fetch(asked, some.length ? { method: "POST", body: JSON.stringify(some) } : {})
      .then(function (answer) {
        if (!answer.ok) { throw answer.status; }
        return answer.json();
      }).then(function (told) {
        load();
        taps = taps.filter(function (tap) {
          return !some.some(function (one) { return one.when === tap.when; });
        });
        keep();
        day = told.day;
        if (told.refused && told.refused.length) {
          say(told.refused.map(function (one) {
            return one.when.slice(11, 16) + " " + one.what + ", " + one.event + ": " + one.why;
          }).join(" "));
        }
        else if (away && some.length) { say("Sent: " + some.length + " that were kept here."); }
        sending = away = false;
        if (!asking) { draw(); }
        if (taps.length) { send(); }
      }).catch(function () {
        sending = false;
        if (some.length) {
          away = true;
          say("Out of reach: " + some.length + " kept here, to be sent later.");
        }
      });
  }
  function take() {
    var last = since().pop() || (taps.length ? null : day.last);
    if (!last) { return; }
    log(last.what, "undone");
    say("Taken back: " + last.what + " " + last.event + ".");
  }
  function of(what, events) {
    return since().filter(function (tap) {
      return tap.what === what && events.indexOf(tap.event) >= 0;
    });
  }
  function made(tag, text, kind) {
    var one = document.createElement(tag);
    if (text !== undefined) { one.textContent = text; }
    if (kind) { one.className = kind; }
    return one;
  }
  function button(row, text, about, act) {
    var one = made("button", text);
    one.type = "button";
    one.setAttribute("aria-label", text + ": " + about);
    one.dataset.act = about + " / " + text;
    one.addEventListener("click", act);
    row.appendChild(one);
  }
  function more(shot) {
    var used = of(shot.name, ["taken", "spoiled"]).length;
    return shot.more === null ? null : Math.max(0, shot.more - used);
  }
  function stands(shot) {
    var others = since().some(function (tap) {
      return tap.what !== shot.name && (tap.event === "taken" || tap.event === "spoiled");
    });
    var there = shot.stands - of(shot.name, ["taken", "spoiled"]).length;
    return others ? 0 : Math.max(0, there);
  }
  function beyond(but) {
    return day.shots.some(function (shot) {
      return shot.name !== but && (of(shot.name, ["spoiled"]).length > 0 ||
        (of(shot.name, ["taken"]).length > 0 &&
          shot.taken + of(shot.name, ["taken"]).length > shot.most));
    });
  }
  function drawShot(list, shot, before) {
    if (shot.episode && shot.episode !== (before && before.episode)) {
      var head = made("li", undefined, "episode");
      head.appendChild(made("h3", shot.episode));
      list.appendChild(head);
    }
    var item = made("li", undefined, "card"), top = made("div", undefined, "top");
    var left = more(shot), taken = shot.taken + of(shot.name, ["taken"]).length;
    var ended = shot.ended || of(shot.name, ["enough"]).length > 0;
    var title = (shot.starts ? shot.starts + " " : "") + shot.name;
    top.appendChild(made(shot.episode ? "h4" : "h3", title, "name"));
    var figure = made("p", undefined, "figure"), most = beyond(shot.name) && left ? "at most " : "";
    figure.appendChild(made("span", left === null ? "?" : String(left)));
    var there = stands(shot);
    figure.appendChild(made("small", left === null ? shot.unlimited : most + "left" +
      (there > left ? ", or " + there : "")));
    top.appendChild(figure);
    item.appendChild(top);
    if (there > left) {
      item.appendChild(made("p", "Its food is there for " + there + " if " + shot.others + "."));
    }
    shot.eaters.forEach(function (text) { item.appendChild(made("p", text, "eater")); });
    if (shot.of) { item.appendChild(made("p", shot.of, "quiet of")); }
    var lacks = there > left ? "With the others it lacks " :
      left ? "One more than " + left + " lacks " : "One more lacks ";
    item.appendChild(made("p", taken + " taken of " + shot.planned + (ended ? ", ended" : "") +
      (shot.lacks ? ". " + lacks + shot.lacks : "") + ".", "quiet"));
    shot.leaves_out.forEach(function (text) { item.appendChild(made("p", text)); });
    var row = made("div", undefined, "buttons");
    button(row, "Taken", shot.name, function () { log(shot.name, "taken"); });
    button(row, "Spoiled", shot.name, function () { log(shot.name, "spoiled"); });
    button(row, "Enough", shot.name, function () { log(shot.name, "enough"); });
    item.appendChild(row);
    list.appendChild(item);
  }
  function stand(bowl) {
    var state = { gone: bowl.gone, by: bowl.by, words: bowl.words, last: "" };
    of(bowl.name, day.events).forEach(function (tap) {
      state.last = tap.event + " " + tap.when.slice(11, 16) +
        (tap.temperature ? ", " + tap.temperature : "");
      if (tap.event === "discarded") { state.gone = true; }
      if ((tap.event === "out" || tap.event === "prep") && !state.by) {
        state.by = bowl.left === null ? 1 : time(tap.when) + bowl.left;
        state.words = bowl.left === null ? "time not known: treat as past its limit" :
          "within the limit, as logged";
      }
      if (tap.event === "back" && state.by) {
        state.words = "back, and its time keeps counting here until it is worked out again";
      }
    });
    return state;
  }
  function drawBowl(list, bowl, state, now) {
    var past = !state.gone && (bowl.past || (state.by && state.by <= now));
    var item = made("li", undefined, past ? "card past" : "card");
    var top = made("div", undefined, "top");
    var figure = made("p", undefined, "figure"), minutes = Math.floor((state.by - now) / 60000);
    top.appendChild(made("h3", bowl.name, "name"));
    if (state.gone) { figure.appendChild(made("small", "gone")); }
    else if (past) { figure.appendChild(made("small", "past its limit: must be gone")); }
    else if (state.by) {
      figure.appendChild(made("span", minutes >= 60 ? Math.floor(minutes / 60) + " h " +
        two(minutes % 60) : minutes + " min"));
      figure.appendChild(made("small", "left, gone by " + clock(new Date(state.by))));
    } else { figure.appendChild(made("small", "no clock is running")); }
    top.appendChild(figure);
    item.appendChild(top);
    item.appendChild(made("p", bowl.holds, "quiet"));
    item.appendChild(made("p", state.words + " (" + bowl.rule + ")." +
      (state.last ? " Logged here: " + state.last + "." : ""), "quiet"));
    if (!state.gone) {
      var row = made("div", undefined, "buttons four");
      button(row, "Out", bowl.name, function () { ask(bowl.name, "out"); });
      button(row, "Back", bowl.name, function () { ask(bowl.name, "back"); });
      button(row, "Reading", bowl.name, function () { ask(bowl.name, "reading"); });
      button(row, "Gone", bowl.name, function () { log(bowl.name, "discarded"); });
      item.appendChild(row);
      if (asking && asking.what === bowl.name) { drawAsk(item); }
    }
    list.appendChild(item);
  }
  function ask(what, event) { asking = { what: what, event: event }; draw(); focus(); }
  function focus() { var box = document.getElementById("degrees"); if (box) { box.focus(); } }
  function drawAsk(item) {
    var form = made("form", undefined, "ask"), label = made("label", "Temperature of the food");
    var box = made("input"), unit = made("select");
    label.htmlFor = box.id = "degrees";
    box.setAttribute("inputmode", "decimal");
    box.autocomplete = "off";
    ["C", "F"].forEach(function (one) { unit.appendChild(made("option", one)); });
    unit.value = day.unit;
    unit.setAttribute("aria-label", "Unit");
    form.appendChild(label);
    form.appendChild(box);
    form.appendChild(unit);
    var save = made("button", "Log " + asking.event);
    save.type = "submit";
    form.appendChild(save);
    if (asking.event !== "reading") {
      button(form, "No reading", asking.what, function () { log(asking.what, asking.event); });
    }
    button(form, "Cancel", asking.what, function () { asking = null; draw(); });
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var number = box.value.replace(",", ".").replace("\u2212", "-").trim();
      if (!/^-?\d+(\.\d+)?$/.test(number)) {
        say("Write the degrees as a number.");
        focus();
        return;
      }
      log(asking.what, asking.event, number + " " + unit.value);
    });
    item.appendChild(form);
  }
  function draw() {
    var now = Date.now(), held = document.activeElement && document.activeElement.dataset.act;
    var shots = document.getElementById("shots"), bowls = document.getElementById("bowls");
    shots.textContent = bowls.textContent = "";
    day.shots.forEach(function (shot, at) { drawShot(shots, shot, day.shots[at - 1]); });
    day.bowls.map(function (bowl) { return [bowl, stand(bowl)]; }).sort(function (one, other) {
      function rank(pair) {
        return pair[1].gone ? 9e15 : pair[0].past ? -1 : pair[1].by || 8e15;
      }
      return rank(one) - rank(other);
    }).forEach(function (pair) { drawBowl(bowls, pair[0], pair[1], now); });
    var open = since();
    if (!open.length && !taps.length && day.last) { open = [day.last]; }
    undo.disabled = open.length === 0;
    undo.setAttribute("aria-label", open.length ? "Undo: " + open[open.length - 1].what + " " +
      open[open.length - 1].event : "Undo: nothing is logged here");
    document.getElementById("lines").value = csv();
    if (held) {
      Array.prototype.forEach.call(document.querySelectorAll("button"), function (one) {
        if (one.dataset.act === held) { one.focus(); }
      });
    }
  }
  function cell(text) {
    if (/^([=@]|[+-](?! ?[0-9]))/.test(text)) { text = "'" + text; }
    return /[,;\t"\n]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text;
  }
  function csv() {
    var lines = [day.headings].concat(day.log, taps.map(function (tap) {
      return [tap.when, tap.what, tap.event, tap.temperature, "", ""];
    }));
    return lines.map(function (line) { return line.map(cell).join(","); }).join("\n") + "\n";
  }
  var rung = {};
  function ring() {
    var now = Date.now();
    day.bowls.forEach(function (bowl) {
      var state = stand(bowl);
      if (state.gone || !state.by) { return; }
      [600000, 0].forEach(function (before) {
        var key = bowl.name + state.by + before;
        if (now >= state.by - before && now < state.by - before + 60000 && !rung[key]) {
          rung[key] = true;
          say(bowl.name + (before ? ": must be gone in 10 minutes." : ": must be gone now."));
          if (navigator.vibrate) { navigator.vibrate([400, 200, 400]); }
        }
      });
    });
  }
  undo.addEventListener("click", function () { load(); take(); });
  var give = document.getElementById("give");
  if (give) { give.addEventListener("click", function () {
    var link = made("a");
    link.href = URL.createObjectURL(new Blob([csv()], { type: "text/csv" }));
    link.download = day.file;
    link.click();
    say("The day log is given out as " + day.file + ". Put it beside the workbook.");
  }); }
  window.addEventListener("storage", function () { load(); draw(); });
  document.addEventListener("visibilitychange", function () { load(); draw(); });
  load();
  draw();
  window.addEventListener("online", send);
  send();
  setInterval(function () { if (!asking) { draw(); } ring(); send(); }, 15000);
})();
