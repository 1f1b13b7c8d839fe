// Shows at once what a person chooses about pages and puzzle; it is saved like
// every form that saves itself.

import { onNewer } from "./queue";

const shown = ["theme", "text", "thumb", "top", "colours"];

function show(name: string, value: string): void {
  // What is usual has no attribute, as on a page that the service made.
  if (value) document.documentElement.dataset[name] = value;
  else delete document.documentElement.dataset[name];
}

export function showAppearance(): void {
  // What was chosen after the page was made is shown, but for what was chosen on it by
  // then.
  const chosen = new Set<string>();
  onNewer((changes) => {
    for (const change of changes) {
      if (change.address !== "/profile/preferences" || change.trouble) continue;
      for (const [name, value] of change.fields) if (shown.includes(name) && !chosen.has(name)) show(name, value);
    }
  });
  const form = document.querySelector<HTMLFormElement>("form[data-appearance]");
  form?.addEventListener("change", (event) => {
    const input = event.target as HTMLInputElement;
    const measured = form.elements.namedItem("measured") as HTMLInputElement;
    if (shown.includes(input.name)) {
      chosen.add(input.name);
      show(input.name, input.value);
      input.scrollIntoView({ block: "nearest" });
    } else if (input.name === "speed") {
      measured.value = "";
    } else if (input === measured) {
      for (const step of form.querySelectorAll<HTMLInputElement>('input[name="speed"]'))
        step.checked = step.value === "" && !measured.value;
    }
  });
}
