"use strict";
// The pages work without this. It makes the bench follow the finger, and keeps presses until they have arrived.
(() => {
  const headers = {"X-Limeday": "page"};
  const main = document.getElementById("main");
  const status = document.getElementById("status");
  const say = (text, unseen) => {
    status.classList.toggle("unseen", Boolean(unseen));
    status.textContent = text;
  };

  // ---- the bench
  const bench = document.getElementById("bench");
  if (bench) {
    const answer = document.getElementById("answer"), rest = document.getElementById("rest");
    let busy = false, again = false, bands = null, timer = 0;
    const form = () => {
      const q = new URLSearchParams(new FormData(bench));
      q.delete("was");
      return q;
    };
    const mark = (input, fault) => {
      const box = input.closest(".field");
      const id = "w-" + input.name;
      let p = document.getElementById(id);
      if (!p && fault) {
        p = document.createElement("p");
        p.id = id;
        box.append(p);
      }
      if (!p) return;
      if (p.dataset.hint === undefined) p.dataset.hint = p.className === "hint" ? p.textContent : "";
      box.classList.toggle("faulty", Boolean(fault));
      p.className = fault ? "fault" : "hint";
      p.textContent = fault || p.dataset.hint;
      input.setAttribute("aria-describedby", id);
      if (fault) input.setAttribute("aria-invalid", "true"); else input.removeAttribute("aria-invalid");
    };
    const take = html => {
      const holder = document.createElement("div");
      holder.innerHTML = html;
      const [faults, got, more] = holder.children;
      let faulty = false;
      for (const input of bench.querySelectorAll("input[type=text],select")) {
        const fault = [...faults.children].find(f => f.dataset.field === input.name)?.textContent;
        faulty = faulty || Boolean(fault);
        mark(input, fault);
      }
      if (!faulty) {
        answer.replaceChildren(...got.childNodes);
        rest.replaceChildren(...more.childNodes);
      }
      return !faulty;
    };
    const get = async (query, signal) => {
      const r = await fetch("/bench?" + query, {headers, signal});
      const text = await r.text();
      if (!r.ok && r.status !== 422) throw new Error(text);
      return text;
    };
    const withWas = q => {
      const was = bench.elements.was.value;
      if (was) q.set("was", was);
      return q;
    };
    const follow = async () => {
      if (bands) bands.abort();
      clearTimeout(timer);
      if (busy) { again = true; return; }
      busy = true;
      try {
        do {
          again = false;
          const q = form();
          if (take(await get(withWas(q)))) {
            history.replaceState(null, "", "/bench?" + q);
            document.querySelector(".units [name=back]").value = "/bench?" + q;
            say("");
          }
        } while (again);
        timer = setTimeout(settle, 250);
      } catch (e) {
        say(lost(e));
      }
      busy = false;
    };
    const settle = async () => {
      bands = new AbortController();
      const mine = bands;
      const q = withWas(form());
      q.set("bands", "1");
      try {
        const text = await get(q, mine.signal);
        if (mine.signal.aborted || !take(text)) return;
        const says = answer.querySelector(".says");
        if (says) say(says.textContent, true);
      } catch (e) {
        if (!mine.signal.aborted) say(lost(e));
      }
    };
    const decimals = step => (String(step).split(".")[1] || "").length;
    for (const slide of bench.querySelectorAll(".slide")) {
      const text = document.getElementById(slide.dataset.for);
      slide.hidden = false;
      const set = () => { const x = parseFloat(text.value); if (!Number.isNaN(x)) slide.value = x; };
      set();
      slide.addEventListener("input", () => { text.value = Number(slide.value).toFixed(decimals(slide.step)); follow(); });
      text.addEventListener("input", set);
    }
    // what the drawing is compared with: how things stood when this control was taken hold of
    const hold = e => {
      if (e.target.matches("input,select") && !answer.querySelector(".said")) bench.elements.was.value = form().toString();
    };
    bench.addEventListener("pointerdown", hold);
    bench.addEventListener("focusin", hold);
    bench.addEventListener("input", e => { if (e.target.type === "text") follow(); });
    bench.addEventListener("change", e => {
      if (e.target.name === "finish") { // its own thicknesses
        bench.elements.thickness.disabled = true;
        bench.elements.was.disabled = true;
        bench.submit();
      } else if (e.target.tagName === "SELECT") follow();
    });
    bench.addEventListener("submit", e => { e.preventDefault(); follow(); });
  }
  const lost = e => e instanceof TypeError || e.name === "TimeoutError" ? "The program cannot be reached. What you entered is still here." : e.message;

  // ---- presses
  const key = "limeday.press."; // one item for each, so that tabs do not overwrite each other's
  const here = String(Math.random()); // this page, whose own clock runs on whatever the phone's is set to
  const box = document.getElementById("unsent");
  const memory = new Map(); // where nothing can be stored: for as long as the page is open
  const load = () => {
    const all = new Map(memory);
    try {
      for (const k of Object.keys(localStorage)) if (k.startsWith(key)) all.set(k, JSON.parse(localStorage.getItem(k)));
    } catch { /* nothing can be stored here */ }
    return [...all.values()].sort((a, b) => a.n - b.n);
  };
  const keep = p => {
    try { localStorage.setItem(key + p.id, JSON.stringify(p)); } catch { memory.set(key + p.id, p); }
    draw();
  };
  const drop = p => {
    memory.delete(key + p.id);
    try { localStorage.removeItem(key + p.id); } catch { /* it was not there */ }
    draw();
  };
  const draw = () => {
    const list = load();
    box.hidden = list.length === 0;
    box.querySelector("ul").replaceChildren(...list.map(p => {
      const li = document.createElement("li");
      li.textContent = p.label + ", " + p.clock + (p.refused ? ". " + p.refused : "");
      for (const [says, then] of p.refused ? [["Send again", () => { keep({...p, refused: ""}); send(); }], ["Put aside", () => drop(p)]] : []) {
        const b = document.createElement("button");
        b.textContent = says;
        b.addEventListener("click", then);
        li.append(b);
      }
      return li;
    }));
    for (const b of document.querySelectorAll(".buttons form")) {
      b.querySelector("button").disabled = list.some(p => p.id === b.elements.id.value && !p.refused);
    }
  };
  // how far the program's clock is ahead of the phone's: what tells that the phone's was changed while a press waited
  let ahead = null;
  const compare = async () => {
    const r = await fetch("/favicon.ico", {method: "HEAD", headers, signal: AbortSignal.timeout(8000)});
    const at = Date.parse(r.headers.get("Date"));
    if (Number.isNaN(at)) return;
    ahead = at - Date.now();
    for (const p of load()) { // pressed before it was known here, and the clock is as it was
      if (p.ahead === null && p.here === here && Math.abs(Date.now() - p.at - (performance.now() - p.ran)) < 2000) keep({...p, ahead});
    }
  };
  const age = p => {
    const byPhone = Date.now() - p.at, changed = p.ahead === null || ahead === null ? 0 : p.ahead - ahead;
    if (Math.abs(changed) < 30000) return byPhone;
    const ran = p.here === here ? performance.now() - p.ran : NaN; // changed before the press, or since: the page's own clock tells
    return [byPhone, byPhone - changed].find(a => Math.abs(a - ran) < 30000) ?? NaN;
  };
  let sending = false;
  const send = async () => {
    if (sending) return;
    sending = true;
    let arrived = false;
    try {
      if (load().some(x => !x.refused)) await compare();
      for (let p; (p = load().find(x => !x.refused));) {
        const body = new URLSearchParams(p.form);
        body.set("age", age(p).toFixed(0));
        const r = await fetch(p.to, {method: "POST", body, headers, signal: AbortSignal.timeout(8000)});
        const text = await r.text();
        if (r.ok) {
          arrived = true;
          drop(p);
          say(text);
        } else if (r.status >= 500 || r.status === 403 || r.status === 400) { // another time it can be
          say(text);
          break;
        } else {
          keep({...p, refused: text});
          say(text);
        }
      }
    } catch {
      say("The program cannot be reached. The press is kept on this phone and sent later.");
    }
    sending = false;
    if (arrived) refresh();
  };
  const refresh = async () => {
    if (!main.querySelector(".press")) return;
    main.setAttribute("aria-busy", "true");
    try {
      const r = await fetch(location.pathname, {headers, signal: AbortSignal.timeout(60000)});
      if (r.ok) {
        const html = await r.text();
        const reading = () => [...main.querySelectorAll("#reading input")], units = () => reading().find(i => i.name === "units")?.value;
        const typed = reading().filter(i => i.value !== i.defaultValue), were = units(), focused = document.activeElement;
        main.innerHTML = html;
        draw();
        for (const i of typed) if (units() === were) document.getElementById(i.id).value = i.value;
        if (focused && !focused.isConnected) document.getElementById(focused.id)?.focus();
      }
    } catch { /* the presses have arrived; the page is as it was */ }
    main.removeAttribute("aria-busy");
  };
  main.addEventListener("submit", e => {
    const form = e.target;
    if (!form.closest(".buttons")) return;
    e.preventDefault();
    const fields = Object.fromEntries(new FormData(form));
    const list = load();
    if (list.some(p => p.id === fields.id && !p.refused)) return;
    const now = new Date();
    keep({id: fields.id, n: 1 + Math.max(0, ...list.map(p => p.n)), to: form.getAttribute("action"), form: fields, label: form.querySelector("button").firstChild.textContent,
      clock: String(now.getHours()).padStart(2, "0") + ":" + String(now.getMinutes()).padStart(2, "0"), at: now.getTime(), ran: performance.now(), here, ahead});
    document.getElementById("h-press").focus({preventScroll: true}); // and not on what a second key would press
    say("Pressed. Sending it.");
    send();
  });
  addEventListener("online", send);
  addEventListener("storage", draw);
  addEventListener("pageshow", e => { if (e.persisted) { draw(); refresh(); } });
  setInterval(() => { if (load().some(p => !p.refused)) send(); }, 5000);
  draw();
  send();
  if (main.querySelector(".press")) compare().catch(() => { /* as it is: a press asks again */ });
  if (performance.getEntriesByType("navigation")[0]?.type === "back_forward") refresh();
})();
