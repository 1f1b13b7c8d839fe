// Opens the browser's own way to print, where a button asks for it.

export function offerPrinting(): void {
  // The style sheet shows the buttons from now on.
  document.documentElement.classList.add("can-print");
  document.addEventListener("click", (event) => {
    if ((event.target as Element).closest("button[data-print]")) window.print();
  });
}
