// All that the pages' script does. Everything works without it too.

import { copyTurns } from "./option";
import { lookUp } from "./lookup";
import { showAppearance } from "./appearance";
import { mindTheNetwork } from "./offline";
import { keepOwn } from "./own";
import { offerPrinting } from "./print";
import { offerSharing } from "./share";
import { stepThrough } from "./player";
import { timeTurns } from "./stopwatch";

// Copying needs a script, so its buttons show only where there is one that may.
function offerCopies(): void {
  if (!navigator.clipboard) return;
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-copy]")) {
    button.hidden = false;
  }
}

document.addEventListener("click", async (event) => {
  const button = (event.target as Element).closest<HTMLButtonElement>("button[data-copy]");
  if (!button) return;
  try {
    await navigator.clipboard.writeText(new URL(button.dataset.copy ?? "", location.href).href);
    button.textContent = "Copied";
  } catch {
    button.textContent = "Not copied: select the link";
  }
});

offerCopies();
copyTurns();
lookUp(offerCopies);
offerSharing();
offerPrinting();
keepOwn(offerCopies);
showAppearance();
timeTurns();
stepThrough();
mindTheNetwork();
