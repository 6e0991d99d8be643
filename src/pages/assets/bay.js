// Keeps what is typed on this phone, and what was sent without a connection until it has arrived. The server stores a
// job that is sent twice once, so sending again is always safe. Without this script the forms work as plain forms.
const board = document.querySelector('#waiting');
const shop = board.dataset.for;
const draftName = `secondpass draft ${shop}`;
const queueName = `secondpass waiting ${shop}`;
const draftHours = 24;
const retryMs = 20_000;

const read = (name) => JSON.parse(localStorage.getItem(name) ?? 'null');
const write = (name, value) => localStorage.setItem(name, JSON.stringify(value));
const queue = () => read(queueName) ?? [];

const form = document.querySelector('form.job');
if (form) keepTyped(form);
for (const one of document.querySelectorAll('form.later'))
  one.addEventListener('submit', (event) => sendOr(event, one));
addEventListener('online', sendWaiting);
addEventListener('offline', () => tell());
setInterval(() => queue().some(({ wrong }) => !wrong) && sendWaiting(), retryMs);
offerDraft();
tell();
sendWaiting();

function keepTyped(jobForm) {
  keepTime(jobForm);
  jobForm.addEventListener('input', () => write(draftName, { at: Date.now(), entries: entriesOf(jobForm) }));
  jobForm.addEventListener('submit', (event) => {
    goOn(jobForm);
    if (event.submitter?.name !== 'reshape') return sendOr(event, jobForm);
    if (navigator.onLine) return;
    event.preventDefault();
    say('To add a part or take one away there has to be a connection. What you typed stays here.');
  });
}

/** Work ends when its form is sent, unless somebody says otherwise: a form may be opened long before. */
function keepTime(jobForm) {
  const { finishedAt, ticking } = jobForm.elements;
  finishedAt.addEventListener('input', () => {
    ticking.value = '';
  });
  setInterval(() => goOn(jobForm), retryMs);
}

const opened = Date.now();
/**
 * By the clock of the shop, which the page came with, and the time that it has stood. The moment itself goes along: what
 * a clock shows comes twice where it is set back, and is an hour off where that happens while the form is open.
 */
function goOn(jobForm) {
  const { finishedAt, ticking } = jobForm.elements;
  if (ticking.value === '') return;
  const after = (then) => new Date(Date.parse(then) + Date.now() - opened);
  ticking.value = after(ticking.dataset.now).toISOString();
  const now = after(`${ticking.dataset.now.slice(0, 16)}Z`);
  finishedAt.value = now.toISOString().slice(0, 16);
  const told = jobForm.querySelector('[data-ended]');
  const words = { timeZone: 'UTC', dateStyle: 'long', timeStyle: 'short' };
  told.textContent = new Intl.DateTimeFormat(told.dataset.ended, words).format(now);
}

function isFresh(jobForm) {
  return jobForm.dataset.fresh !== undefined;
}

/** Begun and not stored: it is the server that shows it again, with as many parts as it had. */
function offerDraft() {
  const draft = read(draftName);
  if (!draft || document.querySelector('.faults')) return;
  if (Date.now() - draft.at > draftHours * 3_600_000) return localStorage.removeItem(draftName);
  if (form && !isFresh(form)) return; // this is it
  const begun = new Date(draft.at).toLocaleTimeString([], { hour: '2-digit', minute: '2-digit' });
  const go = button('Go on with it', () => showAgain(draft.entries));
  const drop = button('Forget it', () => {
    localStorage.removeItem(draftName);
    place.remove();
  });
  const place = line(`A job was begun here at ${begun} and not stored. `, go, drop);
  board.before(place);
}

/** Sends a form; without a connection keeps it here instead. What the server finds wrong it shows on a page of its own. */
async function sendOr(event, sent) {
  event.preventDefault();
  const submitter = event.submitter;
  const entries = timed(sent, entriesOf(sent, submitter));
  if (submitter) submitter.disabled = true;
  const answer = await send(sent.getAttribute('action'), entries);
  if (submitter) submitter.disabled = false;
  if (answer === 'stored' || answer === 'wrong') return leave(sent, submitter, answer);
  try {
    keep({ action: sent.getAttribute('action'), entries, what: whatOf(entries) });
  } catch {
    return say(
      'It did not arrive, and this phone keeps nothing for pages. Leave this page open and press again later.',
    );
  }
  if (sent === form) localStorage.removeItem(draftName);
  makeRoom(sent);
  tell(answer);
  show();
}

/** Pressed once is enough: the form goes, and one that nobody has sent yet may be had again empty, without a connection. */
function makeRoom(sent) {
  if (sent === form) sent.before(board);
  sent.remove();
  if (sent !== form || !isFresh(sent)) return;
  const another = button('Another such job', () => {
    sent.reset();
    sent.elements.ticking.value = 'yes'; // a hidden field keeps its value when a form is reset
    goOn(sent);
    another.replaceWith(sent);
    sent.scrollIntoView();
  });
  board.after(another);
}

function say(text) {
  board.hidden = false;
  board.replaceChildren(line(text));
  show();
}

function show() {
  board.scrollIntoView({ block: 'center' });
  board.focus();
}

let arrived;
function leave(sent, submitter, answer) {
  if (answer === 'stored') {
    if (sent === form) localStorage.removeItem(draftName);
    return location.assign(arrived);
  }
  // Once more as a plain form: the answer is a page that says what is to be mended, where it is.
  if (submitter?.name) sent.append(hidden(submitter.name, submitter.value));
  sent.submit();
}

/** 'stored', 'wrong' (to be mended), 'signed-out', or 'offline' where nothing came back. */
async function send(action, entries) {
  try {
    const signal = AbortSignal.timeout(15_000);
    const headers = { Accept: 'application/json' };
    const answer = await fetch(action, { method: 'POST', body: new URLSearchParams(entries), headers, signal });
    if (answer.status === 401 || answer.status === 403) return 'signed-out';
    if (answer.status >= 500) return 'offline';
    arrived = answer.url;
    return answer.ok && answer.redirected ? 'stored' : 'wrong';
  } catch {
    return 'offline'; // no connection, or none that lasted: what was sent stays here
  }
}

/** One page at a time, so that two that are open do not send the same at once; without TLS browsers have no such locks. */
function sendWaiting() {
  const alone = navigator.locks ? (work) => navigator.locks.request(queueName, work) : (work) => work();
  return alone(async () => {
    for (const item of queue().filter(({ wrong }) => !wrong)) {
      const answer = await send(item.action, item.entries);
      if (answer === 'offline' || answer === 'signed-out') return tell(answer);
      change((all) =>
        answer === 'stored'
          ? all.filter(({ id }) => id !== item.id)
          : all.map((one) => (one.id === item.id ? { ...one, wrong: true } : one)),
      );
      if (answer === 'stored')
        board.before(line(`${item.what} was waiting on this phone and is stored now${asWhat(item)}.`));
    }
    tell();
  });
}

/** The number that it has now, where another phone had taken the one it was kept under. */
function asWhat({ entries }) {
  const ref = new URL(arrived).searchParams.get('stored');
  return ref === entries.find(([name]) => name === 'ref')?.[1].trim() ? '' : ` as job ${ref}`;
}

function keep(item) {
  change((all) => [...all, { ...item, id: `${Date.now()} ${all.length}` }]);
}

function change(how) {
  write(queueName, how(queue()));
}

function tell(why) {
  const all = queue();
  board.hidden = all.length === 0 && navigator.onLine;
  board.replaceChildren(
    ...all.map(({ id, what, wrong, entries, action }) => {
      if (!wrong) return line(`${what} is kept on this phone and is sent when there is a connection.`);
      const mend = button('Look at it', () => {
        if (!navigator.onLine) return say('To mend it there has to be a connection. It is kept until then.');
        if (action === '/jobs/new' && read(draftName))
          return say('First store or forget the job that was begun here; this one is kept until then.');
        change((list) => list.filter((one) => one.id !== id));
        if (action === '/jobs/new') write(draftName, { at: Date.now(), entries });
        showAgain(entries, action, false);
      });
      return line(`${what} was sent and not taken: something is to be mended. `, mend);
    }),
  );
  if (!navigator.onLine && all.length === 0)
    board.append(
      line('There is no connection. Go on as usual: what you send is kept on this phone until there is one.'),
    );
  if (why === 'signed-out' && all.length > 0) {
    const link = document.createElement('a');
    link.href = `/sign-in?back=${encodeURIComponent('/jobs/recent')}`;
    link.textContent = 'Sign in, and it is sent.';
    board.append(line('You are no longer signed in. ', link));
  }
}

function showAgain(entries, action = '/jobs/new', keepOnly = true) {
  const carrier = document.createElement('form');
  carrier.method = 'post';
  carrier.action = action;
  const asTyped = entries.filter(([name]) => name !== 'ticking'); // its time stands as it was
  const all = keepOnly ? [...asTyped, ['reshape', 'keep']] : asTyped;
  carrier.append(...all.map(([name, value]) => hidden(name, value)));
  document.body.append(carrier);
  carrier.submit();
}

/**
 * A check made now says when that was, by the clock of the shop as above: what arrived though its answer was lost is the
 * same check when it comes again, and not one of a minute later.
 */
function timed(sent, entries) {
  const { since } = sent.dataset;
  const isCheck = entries.some(([name]) => name === 'dry:flag');
  if (!since || !isCheck || entries.some(([name, value]) => name === 'hours:number' && value !== '')) return entries;
  const hours = Number(since) + (Date.now() - opened) / 3_600_000;
  return [...entries.filter(([name]) => name !== 'hours:number'), ['hours:number', Math.max(0, hours).toFixed(2)]];
}

function whatOf(entries) {
  const value = (wanted) => entries.find(([name]) => name === wanted)?.[1];
  return value('sections.0.area') === undefined ? `What you noted of job ${value('ref')}` : `Job ${value('ref')}`;
}

function entriesOf(sent, submitter) {
  return [...new FormData(sent, submitter).entries()].filter(([, value]) => typeof value === 'string');
}

function hidden(name, value) {
  const input = document.createElement('input');
  input.type = 'hidden';
  input.name = name;
  input.value = value;
  return input;
}

function button(text, act) {
  const made = document.createElement('button');
  made.type = 'button';
  made.className = 'second';
  made.textContent = text;
  made.addEventListener('click', act);
  return made;
}

function line(text, ...more) {
  const made = document.createElement('p');
  made.className = 'notice';
  made.setAttribute('role', 'status');
  made.append(text, ...more);
  return made;
}
