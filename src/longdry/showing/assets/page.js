// Tells the style sheet that scripts run.
"use strict";
document.documentElement.classList.add("scripted");
