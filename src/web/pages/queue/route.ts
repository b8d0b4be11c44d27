import type { FlagUrgency } from '../../../store/views/types.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import { QueuePage } from './view.js';

const PAGE_SIZE = 20;
const URGENCIES: readonly FlagUrgency[] = ['now', 'today', 'soon'];

export const queueRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/queue', needs: 'see-flags', answer: showQueue },
  { method: 'GET', path: '/queue/news', needs: 'see-flags', isBackground: true, answer: news },
];

/** What changed in the queue, as it happens; with `?once=1` how it stands. */
async function news(ask: Ask): Promise<Answer> {
  if (ask.query.get('once') === '1') {
    return { kind: 'data', value: await ask.deps.views.queueNews(ask.clinicId) };
  }
  return { kind: 'news', begin: (tell) => ask.deps.queueWatch.watch(ask.clinicId, tell) };
}

/** The ranked queue. `?urgency=now|today|soon`, `?mine=1`, `?page=2`. */
async function showQueue(ask: Ask): Promise<Answer> {
  const size = ask.deps.config.queuePageSize ?? PAGE_SIZE;
  const urgency = URGENCIES.find((u) => u === ask.query.get('urgency')) ?? null;
  const isMine = ask.query.get('mine') === '1';
  const page = Math.max(1, Math.floor(Number(ask.query.get('page') ?? 1)) || 1);
  const [counts, rows] = await Promise.all([
    ask.deps.views.queueCounts({ clinicId: ask.clinicId, staffId: ask.staff.id, now: ask.now }),
    ask.deps.views.queueRows({
      clinicId: ask.clinicId,
      now: ask.now,
      urgency,
      takenBy: isMine ? ask.staff.id : null,
      offset: (page - 1) * size,
      limit: size + 1,
    }),
  ]);
  return {
    kind: 'page',
    under: 'queue',
    title: ask.words.say('queue.title'),
    body: QueuePage({
      ask,
      counts,
      rows: rows.slice(0, size),
      choice: { urgency, isMine, page, hasMore: rows.length > size },
    }),
  };
}
