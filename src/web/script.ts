/**
 * What pages gain from JavaScript; each works without it. A button pressed twice is one press. The parts of a text are
 * counted as it is typed, by the same count that bills it. New flags appear in an open queue: server-sent events, or a
 * question every 20 seconds where those fail; nothing moves under a finger, a NOW is heard once the page was touched.
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

const file = document.querySelector('[data-file]');
if (file) {
  file.hidden = false;
  file.querySelector('input').addEventListener('change', (event) => {
    const [chosen] = event.target.files;
    if (chosen) chosen.text().then((text) => { document.getElementById('list').value = text; });
  });
}

const queue = document.getElementById('queue-live');
if (queue) {
  const title = document.title;
  let mark = queue.dataset.mark;
  let nowCount = Number(queue.dataset.now);
  let sound = null;
  const showCount = () => { document.title = nowCount > 0 ? '(' + nowCount + ') ' + title : title; };
  showCount();
  document.addEventListener('pointerdown', () => { sound = sound || new AudioContext(); }, { once: true });
  const beep = () => {
    if (!sound) return;
    const tone = sound.createOscillator();
    const volume = sound.createGain();
    volume.gain.value = 0.15;
    tone.frequency.value = 660;
    tone.connect(volume).connect(sound.destination);
    tone.start();
    tone.stop(sound.currentTime + 0.35);
  };
  const refresh = () => fetch(location.href, { headers: { 'x-by-script': 'yes' } })
    .then((answer) => (answer.ok && !answer.redirected ? answer.text() : ''))
    .then((html) => {
      if (!html) return;
      const fresh = new DOMParser().parseFromString(html, 'text/html').getElementById('queue-live');
      const isBusy = queue.contains(document.activeElement) && document.activeElement !== document.body;
      if (fresh && !isBusy) queue.replaceChildren(...fresh.childNodes);
      else document.getElementById('queue-news').hidden = false;
    })
    .catch(() => {});
  const hear = (news) => {
    if (news.now > nowCount) beep();
    nowCount = news.now;
    showCount();
    if (mark !== news.mark) refresh();
    mark = news.mark;
  };
  let poll = 0;
  const ask = () => fetch('/queue/news?once=1')
    .then((answer) => (answer.ok ? answer.json() : null))
    .then((news) => { if (news) hear(news); })
    .catch(() => {});
  const pollInstead = () => { if (!poll) poll = setInterval(ask, 20000); };
  if (window.EventSource) {
    const source = new EventSource('/queue/news');
    source.onmessage = (event) => { clearInterval(poll); poll = 0; hear(JSON.parse(event.data)); };
    source.onerror = pollInstead;
  } else pollInstead();
}
`;
