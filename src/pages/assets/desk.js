/** The desk's plan as it is typed: its estimate is fetched and put in place. Without this the button “Estimate” does it. */
const form = document.querySelector('form[data-draft]');
const place = document.getElementById('estimate-place');
const says = document.getElementById('estimate-says');
const patienceMs = 300;
let waiting;
let asked;

form.addEventListener('input', (event) => {
  if (event.target.name === 'bodyStyle') tickUsual(event.target.value);
  clearTimeout(waiting);
  waiting = setTimeout(estimate, patienceMs);
});

async function estimate() {
  asked?.abort();
  asked = new AbortController();
  const { signal } = asked;
  try {
    const answer = await fetch(form.dataset.draft, {
      method: 'POST',
      body: new URLSearchParams(new FormData(form)),
      headers: { Accept: 'text/html' },
      signal,
    });
    if (answer.status !== 200 && answer.status !== 422) return say(refusals[answer.status] ?? refusals.other);
    put(await answer.text());
  } catch (error) {
    if (error.name !== 'AbortError') say(refusals.offline);
  }
}

/** What was opened to be read stays open. */
function put(html) {
  const open = summaries().filter((each) => each.parentElement.open);
  const names = open.map((each) => each.textContent);
  place.innerHTML = html;
  for (const each of summaries()) if (names.includes(each.textContent)) each.parentElement.open = true;
  place.classList.remove('stale');
  says.classList.remove('alarm');
  says.textContent = place.firstElementChild?.dataset.says ?? '';
}

function summaries() {
  return [...place.querySelectorAll('details > summary')];
}

/** The estimate that stands there is of what was typed before: it says so. */
function say(text) {
  place.classList.add('stale');
  says.classList.add('alarm');
  says.textContent = text;
}

const refusals = {
  401: 'You are no longer signed in: sign in in another tab, then go on here. The estimate below is of what was typed before.',
  offline: 'No connection: the estimate below is of what was typed before.',
  other: 'That did not work: the estimate below is of what was typed before.',
};

/** The seats that this body style mostly has, as long as nobody has ticked anything by hand. */
function tickUsual(bodyStyle) {
  if (byHand) return;
  const usual = JSON.parse(document.querySelector('[data-usual]').dataset.usual)[bodyStyle] ?? [];
  for (const box of ticks()) box.checked = usual.includes(areaOf(box));
}

let byHand = false;
for (const box of ticks()) box.addEventListener('change', () => (byHand = true));

function ticks() {
  return [...form.querySelectorAll('input[name$=".cleaned:flag"]')];
}

function areaOf(box) {
  return form.querySelector(`input[name="${box.name.replace('cleaned:flag', 'area')}"]`).value;
}
