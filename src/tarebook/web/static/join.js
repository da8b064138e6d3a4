// A scanned code stands behind the # of the address: fill it in, and leave no trace of it.
const code = decodeURIComponent(location.hash.slice(1)).replace(/[^A-Za-z0-9-]/g, "").slice(0, 20);
if (code) {
  history.replaceState(null, "", location.pathname + location.search);
  const form = document.getElementById("join");
  form.elements.code.value = code;
  form.requestSubmit();
}
