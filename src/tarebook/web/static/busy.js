// Say that work is under way, and let nobody ask twice.
for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll("form[data-busy]"))) {
  form.addEventListener("submit", () => {
    const button = form.querySelector("button");
    if (!button) return;
    button.textContent = form.dataset.busy ?? "";
    button.setAttribute("aria-disabled", "true");
    // The button must not be disabled before the form is on its way.
    setTimeout(() => { button.disabled = true; }, 0);
  });
}
