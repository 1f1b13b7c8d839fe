// Times turns against a button: the first press starts, the second writes the seconds
// into the field that the button names. Without a script one times oneself and types.

export function timeTurns(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-stopwatch]")) {
    const field = document.getElementById(button.dataset.stopwatch ?? "") as HTMLInputElement | null;
    if (!field) continue;
    const start = button.textContent;
    let began: number | null = null;
    button.hidden = false;
    // As the button goes down: a click comes when it is let go.
    const press = (event: Event): void => {
      event.preventDefault();
      if (began === null) {
        began = event.timeStamp;
        button.textContent = "Stop";
        return;
      }
      field.value = ((event.timeStamp - began) / 1000).toFixed(2);
      began = null;
      button.textContent = start;
      field.dispatchEvent(new Event("input", { bubbles: true }));
      field.dispatchEvent(new Event("change", { bubbles: true }));
    };
    button.addEventListener("pointerdown", press);
    // What reads the screen aloud clicks, and presses nothing.
    button.addEventListener("click", (event) => {
      if (event.detail === 0) press(event);
    });
    button.addEventListener("keydown", (event) => {
      if ((event.key === " " || event.key === "Enter") && !event.repeat) press(event);
    });
  }
}
