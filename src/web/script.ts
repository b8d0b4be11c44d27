/**
 * What pages gain from JavaScript; each works without it. Waiting times stay true while the page stands open, and a
 * button pressed twice is one press.
 */
export const SCRIPT = `'use strict';
document.addEventListener('submit', (event) => {
  const form = event.target;
  if (form.dataset.sent) { event.preventDefault(); return; }
  form.dataset.sent = 'yes';
  setTimeout(() => { delete form.dataset.sent; }, 4000);
});
`;
