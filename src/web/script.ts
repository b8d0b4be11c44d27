/**
 * What pages gain from JavaScript; each works without it. Waiting times stay true while the page stands open, and a
 * button pressed twice is one press. The parts of a text are counted as it is typed, by the same count that bills it.
 */
export const SCRIPT = `'use strict';
document.addEventListener('submit', (event) => {
  const form = event.target;
  if (form.dataset.sent) { event.preventDefault(); return; }
  form.dataset.sent = 'yes';
  setTimeout(() => { delete form.dataset.sent; }, 4000);
});
for (const form of document.querySelectorAll('form[data-parts]')) {
  const field = form.querySelector('textarea');
  const count = form.querySelector('[data-count]');
  let timer = 0;
  field.addEventListener('input', () => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      const body = new URLSearchParams({ body: field.value, csrf: form.elements.csrf.value });
      fetch(form.dataset.parts, { method: 'POST', body })
        .then((answer) => (answer.ok ? answer.text() : ''))
        .then((words) => { if (words) count.textContent = words; })
        .catch(() => {});
    }, 250);
  });
}
`;
