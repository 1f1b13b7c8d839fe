// All that the pages' script does. Everything works without it too.

import { copyTurns } from "./option";
import { dealCards } from "./deck";
import { lookUp } from "./lookup";
import { showAppearance } from "./appearance";
import { mindTheNetwork } from "./offline";
import { keepOwn } from "./own";
import { practise } from "./practice";
import { offerPrinting } from "./print";
import { countDown } from "./devicelink";
import { offerCopies, offerSharing } from "./share";
import { stepThrough } from "./player";
import { timeTurns } from "./stopwatch";

offerCopies();
copyTurns();
lookUp(offerCopies);
offerSharing();
offerPrinting();
countDown();
keepOwn(offerCopies);
dealCards();
practise();
showAppearance();
timeTurns();
stepThrough();
mindTheNetwork();
