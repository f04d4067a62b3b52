// Whether this device can wake you: the screen lock, the sound, the shaking, the flashing frame.

const CYCLE_MS = 1_800;
const PITCHES = [880, 660, 880];

export class Wake {
  /** @param {() => void} changed */
  constructor(changed) {
    this.changed = changed;
    /** @type {WakeLockSentinel | null} */
    this.lock = null;
    /** @type {AudioContext | null} */
    this.audio = null;
    this.touched = false;
    this.cycle = 0;
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible" && this.touched) void this.hold();
      this.changed();
    });
  }

  get held() {
    return this.lock !== null && !this.lock.released;
  }

  get sounds() {
    return this.audio?.state === "running";
  }

  get on() {
    return this.held && this.sounds;
  }

  /** What to do so that alarms wake you; empty once they do. */
  get todo() {
    if (!this.sounds) return "Sound is off. Touch here, with the volume up.";
    if (this.held) return "";
    if (!navigator.wakeLock) {
      return "This screen may go dark: set it to stay on, or open the deck over https.";
    }
    return "This screen may go dark. Touch here; turn battery saving off.";
  }

  /** Called by a touch: only then may a page make noise. */
  async touch() {
    this.touched = true;
    try {
      this.audio ??= new AudioContext();
      await this.audio.resume();
      this.audio.onstatechange = () => this.changed();
    } catch {
      this.audio = null;
    }
    await this.hold();
    this.changed();
  }

  async hold() {
    if (this.held || !navigator.wakeLock) return;
    try {
      this.lock = await navigator.wakeLock.request("screen");
      this.lock.addEventListener("release", () => this.changed());
    } catch {
      this.lock = null;
    }
    this.changed();
  }

  /** A short tone, to hear that it works. */
  blip() {
    this.tone(660, 0, 0.15);
  }

  /** @param {number} pitch @param {number} after @param {number} lasts */
  tone(pitch, after, lasts) {
    const { audio } = this;
    if (!audio || audio.state !== "running") return;
    const start = audio.currentTime + after;
    const voice = audio.createOscillator();
    const loud = audio.createGain();
    voice.type = "square";
    voice.frequency.value = pitch;
    loud.gain.setValueAtTime(0.0001, start);
    loud.gain.exponentialRampToValueAtTime(0.5, start + 0.02);
    loud.gain.setValueAtTime(0.5, start + lasts - 0.03);
    loud.gain.exponentialRampToValueAtTime(0.0001, start + lasts);
    voice.connect(loud).connect(audio.destination);
    voice.start(start);
    voice.stop(start + lasts);
  }

  ring() {
    if (this.cycle) return;
    const once = () => {
      PITCHES.forEach((pitch, place) => this.tone(pitch, place * 0.3, 0.22));
      navigator.vibrate?.([400, 150, 400]);
    };
    once();
    this.cycle = window.setInterval(once, CYCLE_MS);
    document.documentElement.classList.add("ringing");
  }

  hush() {
    if (!this.cycle) return;
    window.clearInterval(this.cycle);
    this.cycle = 0;
    navigator.vibrate?.(0);
    document.documentElement.classList.remove("ringing");
  }
}
