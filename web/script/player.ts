// Shows the film strips of an option as one large picture that one steps through with
// buttons, keys and swipes, or lets play. It takes its frames from the strips, which
// stay: as an overview, and on paper.

interface Frame {
  picture: SVGElement;
  turn: string;
  part: string;
}

// framesOf are those of all strips in a row: each strip after the first begins where the
// one before ended.
function framesOf(): Frame[] {
  const frames: Frame[] = [];
  for (const strip of document.querySelectorAll(".strip")) {
    for (const [i, item] of [...strip.children].entries()) {
      const picture = item.querySelector("svg");
      if (!picture || (i === 0 && frames.length > 0)) continue;
      frames.push({
        picture,
        turn: item.querySelector(".turns")?.textContent?.trim() ?? "",
        part: item.querySelector("small")?.textContent?.trim() ?? "",
      });
    }
  }
  return frames;
}

// farEnough is how far a finger goes, in pixels, until it is a swipe and not a tap.
const farEnough = 30;

export function stepThrough(): void {
  const player = document.getElementById("player");
  if (!player) return;
  const part = <E extends HTMLElement>(name: string): E => document.getElementById(`player-${name}`) as E;
  const picture = part("picture");
  const now = part("now");
  const turns = part("turns");
  const play = part<HTMLButtonElement>("play");
  const speed = part<HTMLSelectElement>("speed");
  const frames = framesOf();
  const last = frames.length - 1;
  let at = 0;
  let timer: number | undefined;

  const buttons = frames.slice(1).map((frame, i) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "turns";
    button.textContent = frame.turn;
    button.addEventListener("click", () => {
      stop();
      show(i + 1);
    });
    const item = document.createElement("li");
    item.append(button);
    turns.append(item);
    return button;
  });

  function show(frame: number): void {
    at = Math.max(0, Math.min(last, frame));
    const shown = frames[at];
    if (!shown) return;
    picture.replaceChildren(shown.picture.cloneNode(true));
    const where = shown.part ? `${shown.turn}, ${shown.part}` : shown.turn;
    const next = frames[at + 1];
    now.textContent = (at === 0 ? "Start" : `${at} of ${last}: ${where}`) + (next ? `; next ${next.turn}` : "; done");
    buttons.forEach((button, i) => {
      if (i + 1 === at) button.setAttribute("aria-current", "step");
      else button.removeAttribute("aria-current");
    });
    part<HTMLButtonElement>("back").disabled = at === 0;
    part<HTMLButtonElement>("next").disabled = at === last;
  }

  function stop(): void {
    clearTimeout(timer);
    timer = undefined;
    play.textContent = "Play";
  }

  // step goes on while it plays. What is at its end begins again.
  function step(): void {
    if (at === last) return stop();
    timer = window.setTimeout(() => {
      show(at + 1);
      step();
    }, Number(speed.value));
  }

  function start(): void {
    if (timer !== undefined) return stop();
    if (at === last) show(0);
    play.textContent = "Pause";
    step();
  }

  function go(by: number): void {
    stop();
    show(at + by);
  }

  part("back").addEventListener("click", () => go(-1));
  part("next").addEventListener("click", () => go(1));
  play.addEventListener("click", start);

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const target = event.target as Element;
    if (target.closest("input, select, textarea, summary, dialog")) return;
    if (event.key === "ArrowRight") go(1);
    else if (event.key === "ArrowLeft") go(-1);
    else if (event.key === "Home" && target.closest("#player")) go(-last);
    else if (event.key === "End" && target.closest("#player")) go(last);
    else if (event.key === " " && !target.closest("a, button")) start();
    else return;
    event.preventDefault();
  });

  let from: number | undefined;
  picture.addEventListener("pointerdown", (event) => {
    from = event.clientX;
  });
  picture.addEventListener("pointerup", (event) => {
    const moved = event.clientX - (from ?? event.clientX);
    from = undefined;
    if (Math.abs(moved) >= farEnough) go(moved < 0 ? 1 : -1);
  });
  picture.addEventListener("pointercancel", () => (from = undefined));
  show(0);
}
