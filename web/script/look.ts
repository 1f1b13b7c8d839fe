// Shows at once what a person chooses about pages and puzzle; it is saved like
// every form that saves itself.

const shown = ["theme", "text", "thumb", "top", "colours"];

export function showLook(): void {
  const form = document.querySelector<HTMLFormElement>("form[data-look]");
  form?.addEventListener("change", (event) => {
    const input = event.target as HTMLInputElement;
    const measured = form.elements.namedItem("measured") as HTMLInputElement;
    if (shown.includes(input.name)) {
      // What is usual has no attribute, as on a page that the service made.
      if (input.value) document.documentElement.dataset[input.name] = input.value;
      else delete document.documentElement.dataset[input.name];
      input.scrollIntoView({ block: "nearest" });
    } else if (input.name === "speed") {
      measured.value = "";
    } else if (input === measured) {
      for (const step of form.querySelectorAll<HTMLInputElement>('input[name="speed"]')) step.checked = step.value === "" && !measured.value;
    }
  });
}
