// One less, one more: for wet hands. Without this script the number field alone does it.
for (const button of document.querySelectorAll('[data-step]')) {
  button.addEventListener('click', () => {
    const input = button.parentElement.querySelector('input');
    const now = Number.parseInt(input.value, 10) || 0;
    input.value = String(Math.max(0, now + Number(button.dataset.step)));
    input.dispatchEvent(new Event('input', { bubbles: true }));
  });
}
