// Hands a page on by what the device shares with, where the browser can.

export function offerSharing(): void {
  if (!navigator.share) return;
  // The style sheet shows the buttons from now on, those that come later too.
  document.documentElement.classList.add("can-share");
  document.addEventListener("click", async (event) => {
    const button = (event.target as Element).closest<HTMLButtonElement>("button[data-share]");
    if (!button) return;
    const url = new URL(button.dataset.share ?? "", location.href).href;
    try {
      await navigator.share({ title: button.dataset.title ?? document.title, url });
    } catch (error) {
      // Who closes the device's own sheet changed their mind.
      if ((error as Error).name === "AbortError") return;
      button.textContent = "Not shared: copy the link";
    }
  });
}
