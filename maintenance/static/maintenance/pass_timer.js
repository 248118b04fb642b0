// The clock beside a row of air: front, passes and rests, with a pause.
// It keeps moments, not ticks, so that a locked screen or a reload costs nothing, and
// writes the seconds of air into the row's field. Nobody needs it to tick a row.
(() => {
  "use strict";

  const KEPT = "pass-timer:";
  const BUZZ = "pass-timer-buzz";
  const FRESH = { at: 0, since: null, held: 0, air: 0, begun: false, told: false };
  const clocks = new Map();

  const spent = (state, now) => state.held + (state.since === null ? 0 : now - state.since);

  /* Let phases end that ran out by now; return the new state and what to say. */
  const advance = (phases, state, now) => {
    const said = [];
    let next = { ...state };
    while (next.since !== null) {
      const phase = phases[next.at];
      const over = spent(next, now) - phase.seconds * 1000;
      if (over < 0) break;
      if (phase.up) {
        if (!next.told) said.push(phase.over);
        next.told = true;
        break;
      }
      said.push(phase.over);
      const air = next.air + (phase.air ? phase.seconds * 1000 : 0);
      const following = phases[next.at + 1];
      const runs = following && !following.press;
      next = { ...FRESH, at: next.at + 1, air, since: runs ? now - over : null, begun: Boolean(runs) };
      if (runs) said.push(following.say);
    }
    return [next, said];
  };

  /* Begin the phase that waits, or end the one that runs and begin the next. */
  const press = (phases, state, now) => {
    if (!state.begun) return { ...state, since: now, begun: true };
    const air = state.air + (phases[state.at].air ? spent(state, now) : 0);
    const at = state.at + 1;
    const goes = at < phases.length && (phases[state.at].up || !phases[at].press);
    return { ...FRESH, at, air, since: goes ? now : null, begun: goes };
  };

  const pause = (state, now) =>
    state.since === null ? { ...state, since: now } : { ...state, held: spent(state, now), since: null };

  const digits = (ms) => {
    const whole = Math.max(0, Math.floor(ms / 1000));
    return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
  };

  const read = (key) => {
    try {
      return { ...FRESH, ...JSON.parse(sessionStorage.getItem(KEPT + key) || "{}") };
    } catch {
      return { ...FRESH };
    }
  };

  const make = (name, text, parent, className) => {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (className) made.className = className;
    parent.append(made);
    return made;
  };

  class Clock {
    constructor(place) {
      this.place = place;
      this.key = place.dataset.clock;
      this.phases = JSON.parse(place.dataset.phases);
      this.field = document.getElementById(place.dataset.seconds);
      this.state = read(this.key);
      this.build();
      document.getElementById(place.dataset.form).addEventListener("submit", () => this.forget());
      this.look();
    }

    build() {
      this.digits = make("p", "0:00", this.place, "digits");
      this.digits.setAttribute("role", "timer");
      this.digits.setAttribute("aria-label", this.place.dataset.name);
      this.said = make("p", "", this.place, "said");
      this.said.setAttribute("role", "status");
      this.said.setAttribute("aria-live", "polite");
      const keys = make("div", "", this.place, "keys");
      this.main = this.button(keys, "", () => press(this.phases, this.state, Date.now()));
      this.hold = this.button(keys, "quiet", () => pause(this.state, Date.now()));
      this.again = this.button(keys, "plain", () => ({ ...FRESH }));
      this.again.textContent = "Start over";
      if ("vibrate" in navigator) this.buzzer();
    }

    button(parent, className, change) {
      const made = make("button", "", parent, className);
      made.type = "button";
      made.addEventListener("click", () => this.become(change(), true));
      return made;
    }

    buzzer() {
      const label = make("label", "", this.place);
      this.buzz = make("input", "", label);
      this.buzz.type = "checkbox";
      this.buzz.checked = localStorage.getItem(BUZZ) === "yes";
      this.buzz.addEventListener("change", () =>
        localStorage.setItem(BUZZ, this.buzz.checked ? "yes" : "no"));
      label.append("Vibrate at each end");
    }

    become(state, pressed) {
      this.state = state;
      sessionStorage.setItem(KEPT + this.key, JSON.stringify(state));
      if (pressed) this.say(this.where());
      this.look();
    }

    forget() {
      sessionStorage.removeItem(KEPT + this.key);
    }

    /* What holds now, in words. */
    where() {
      const phase = this.phases[this.state.at];
      if (!phase) return this.end();
      if (!this.state.begun) return this.state.at || this.state.air ? `Ready: ${phase.say}` : "";
      return this.state.since === null ? `Paused. ${phase.say}` : phase.say;
    }

    end() {
      const air = Math.round(this.state.air / 1000);
      return air ? `All passes are over: ${air} s of air.` : "The time is over.";
    }

    say(text) {
      this.said.textContent = text;
    }

    look() {
      const now = Date.now();
      const [state, said] = advance(this.phases, this.state, now);
      if (said.length) {
        if (this.buzz && this.buzz.checked) navigator.vibrate([300, 150, 300]);
        this.become(state, false);
        const phase = this.phases[state.at];
        this.say(said.join(" ") + (phase ? "" : ` ${this.end()}`));
        return;
      }
      this.show(now);
    }

    show(now) {
      const { state, phases } = this;
      const phase = phases[state.at];
      const runs = Boolean(phase) && state.begun;
      const passed = spent(state, now);
      const left = phase ? phase.seconds * 1000 - passed : 0;
      // Counting down it shows a second that has begun, so that it ends at nought.
      this.digits.textContent = phase && phase.up ? digits(passed) : digits(left + 999);
      if (!this.said.textContent) this.say(this.where());
      this.main.hidden = !phase;
      if (phase) this.main.textContent = this.label(phase);
      this.hold.hidden = !runs;
      this.hold.textContent = state.since === null ? "Go on" : "Pause";
      this.again.hidden = !state.begun && state.at === 0;
      if (this.field && state.at > 0) this.field.value = Math.round(this.seconds() / 1000);
    }

    label(phase) {
      if (!this.state.begun) return phase.press;
      const following = this.phases[this.state.at + 1];
      return phase.up && following ? following.press : "End this now";
    }

    seconds() {
      const airless = this.phases.every((phase) => !phase.air);
      const whole = this.phases.slice(0, this.state.at);
      return airless ? whole.reduce((sum, phase) => sum + phase.seconds * 1000, 0) : this.state.air;
    }
  }

  const start = () => {
    for (const key of [...clocks.keys()]) if (!key.isConnected) clocks.delete(key);
    for (const place of document.querySelectorAll(".clock[data-phases]"))
      if (!clocks.has(place)) clocks.set(place, new Clock(place));
  };
  const look = () => clocks.forEach((clock) => {
    if (clock.state.since !== null) clock.look();
  });

  start();
  document.addEventListener("htmx:afterSettle", start);
  document.addEventListener("visibilitychange", look);
  setInterval(look, 250);
})();
