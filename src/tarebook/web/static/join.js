// A scanned code stands behind the # of the address: fill it in, and leave no trace of it.
import { kindById } from "./bench/dom.js";

const code = decodeURIComponent(location.hash.slice(1)).replace(/[^A-Za-z0-9-]/g, "").slice(0, 20);
if (code) {
  history.replaceState(null, "", location.pathname + location.search);
  kindById(HTMLInputElement, "code").value = code;
  kindById(HTMLFormElement, "join").requestSubmit();
}
