// Asks the server one thing at a time. What changes while it works is asked next, the newest alone.
// Without an answer it says so at once, and goes on asking until there is one.

const SLOW_MS = 300;
const GIVE_UP_MS = 15000;
const AGAIN_MS = 1500;

/** @typedef {{status: number, told: any}} Answer */

/**
 * @param {string} path
 * @param {object} body
 * @returns {Promise<Answer>}
 */
export async function ask(path, body) {
  const answer = await fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
    signal: AbortSignal.timeout(GIVE_UP_MS),
  });
  return { status: answer.status, told: await answer.json() };
}

export class Asker {
  /**
   * @param {() => Promise<Answer>} send what to ask, made anew each time
   * @param {(answer: Answer) => void} onAnswer
   * @param {(words: string) => void} onSilence with what to say of the numbers that stand there
   */
  constructor(send, onAnswer, onSilence) {
    this.send = send;
    this.onAnswer = onAnswer;
    this.onSilence = onSilence;
    this.busy = false;
    this.wanted = false;
    this.again = 0;
  }

  async want() {
    this.wanted = true;
    clearTimeout(this.again);
    if (this.busy) return;
    this.busy = true;
    while (this.wanted) {
      this.wanted = false;
      const slow = setTimeout(
        () => this.onSilence("These are old: the server is still working on your last change."),
        SLOW_MS,
      );
      try {
        const answer = await this.send();
        clearTimeout(slow);
        if (answer.status >= 500) throw new Error(String(answer.status));
        // An answer to what has been overtaken is still newer than what stands there.
        this.onAnswer(answer);
      } catch {
        clearTimeout(slow);
        this.onSilence(
          "These are old: the server does not answer. What you moved is kept here and is worked out when it is back.",
        );
        this.again = setTimeout(() => this.want(), AGAIN_MS);
        break;
      }
    }
    this.busy = false;
  }
}
