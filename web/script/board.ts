// The script of the board. Every page works without it, only slower to the hand: it
// saves fields as they are left, walks from figure to figure, drags what can be dragged
// and shows colours while they are being chosen. It computes nothing about the work.
//
// Forms that edit a job carry class="edit" and no hx- attributes. Their answer is the page
// again, and its #sheet is laid over the one that is shown (morphed by htmx.swap), so that
// what is being typed stays. Sending is our own: an edit waits its turn and is tried again
// until it is saved.
import { leaving, saving } from "./save";
import { walking } from "./walk";
import { frieze } from "./frieze";
import { dragging } from "./drag";
import { days } from "./days";
import { asking } from "./ask";
import { trying } from "./try";
import { splitting } from "./split";
import { progress } from "./progress";
import { looking } from "./look";
import { menus } from "./menus";

saving();
leaving();
walking();
frieze();
dragging();
days();
asking();
trying();
splitting();
progress();
looking();
menus();
