// The page moves with the plan. Without this file everything still works, a step slower.
'use strict';
document.documentElement.classList.add('js');

const plan = (location.pathname.match(/^\/plans\/([^/]+)/) || [])[1];
let step = 0;            // grows with every change; an older answer is thrown away
let running = null;      // the request under way for the newest step

const on = () => document.getElementById('part') ? 'part' : 'year';
const room = () => {
  const live = document.getElementById('live');
  return live ? Math.round(Math.min(live.clientWidth, 1000)) : 0;
};
const say = text => {    // said aloud to those who cannot see the change
  let p = document.getElementById('said');
  if (!p) {
    p = document.createElement('p');
    p.id = 'said'; p.className = 'skip'; p.setAttribute('role', 'status');
    document.body.append(p);
  }
  p.textContent = text;
};
const made = html => {
  const box = document.createElement('template');
  box.innerHTML = html;
  return box.content;
};

function put(html) {
  const old = document.getElementById('live');
  const fresh = made(html).firstElementChild;
  if (!old || !fresh) return;
  const open = [...old.querySelectorAll('details')].map(d => d.open);
  const held = old.contains(document.activeElement) ? document.activeElement : null;
  const who = e => [e.tagName, e.name, e.value, e.getAttribute('href')].join();
  const key = held && who(held);
  old.replaceWith(fresh);
  [...fresh.querySelectorAll('details')].forEach((d, i) => { if (open[i]) d.open = true; });
  if (held) {            // the focus stays where it was
    const again = [...fresh.querySelectorAll(held.tagName)].find(e => who(e) === key);
    if (again) again.focus({ preventScroll: true });
  }
  document.body.dataset.drawn = String(Number(document.body.dataset.drawn || 0) + 1);
}

async function goOn() {  // from the quick answer to the full band, and on to the changes
  const live = document.getElementById('live');
  // Pictures that were drawn for another width are drawn anew.
  const wide = live && Math.abs(Number(live.dataset.width) / room() - 1) > 0.1;
  const next = live && (live.dataset.next || (wide && live.dataset.stage));
  if (!plan || !next) { document.body.dataset.ready = live ? live.dataset.rev : '1'; return; }
  const mine = step;
  running?.abort();
  running = new AbortController();
  live.setAttribute('aria-busy', 'true');
  try {
    const q = new URLSearchParams({ stage: next, on: on(), w: room() });
    const r = await fetch(`/plans/${plan}/live?${q}`, { signal: running.signal, headers: { accept: 'text/html' } });
    if (!r.ok || mine !== step) return;
    const html = await r.text();
    if (mine !== step) return;
    put(html);
    if (next === 'full') document.body.dataset.full = String(performance.now());
    goOn();
  } catch (e) {
    if (e.name !== 'AbortError') say('The full band could not be had; load the page again.');
  }
}

// Forms of parts: each field is tried as soon as it is left, a slider while it moves.
let waiting = null, busy = false, lastField = null;
async function tryField(form, body) {
  if (busy) { waiting = [form, body]; return; }
  busy = true;
  step++;
  running?.abort();
  document.body.dataset.asked = String(performance.now());
  try {
    // What was seen is what stands in the form now: an own change just answered has moved it.
    const pairs = body.map(([k, v]) => k === 'rev' || k.startsWith('w:') ? [k, form.elements[k]?.value ?? v] : [k, v]);
    const r = await fetch(`${form.action}?on=part&w=${room()}`, {
      method: 'POST', body: new URLSearchParams(pairs), headers: { accept: 'application/json' },
    });
    const got = await r.json();
    if (got.error) { say(got.error); alertOf(form, got.error); }
    else {
      put(got.live);
      document.body.dataset.quick = String(performance.now());
      if (!document.getElementById('live').dataset.next) document.body.dataset.full = document.body.dataset.quick;
      settle(form, got);
      if (!waiting) goOn();
    }
  } catch {
    alertOf(form, 'The program does not answer. What you typed is still here; is it running?');
  }
  busy = false;
  if (waiting) { const [f, b] = waiting; waiting = null; tryField(document.querySelector('form[data-live]') || f, b); }
}

function alertOf(form, text) {
  let p = form.querySelector('.fault.loose');
  if (!p) {
    p = document.createElement('p');
    p.className = 'fault loose'; p.setAttribute('role', 'alert');
    form.prepend(p);
  }
  p.textContent = text;
}

const inputOf = field => field.querySelector('input:not([type=hidden]):not([type=range]), select, textarea');

function settle(form, got) {
  form.querySelector('.fault.loose')?.remove();
  form.elements.rev.value = got.rev;
  if (got.clash) {
    const c = got.clash[0];
    const input = form.elements[`v:${c.path}`], saw = form.elements[`w:${c.path}`];
    if (input && saw) {
      saw.value = c.now || '';
      alertOf(form, `Another window has put ${c.now || 'nothing'} there meanwhile; you wrote ${input.value}. Nothing was written. Press "Write mine" to put yours over it, or load the page to take theirs.`);
      const again = document.createElement('button');
      again.type = 'button'; again.textContent = 'Write mine';
      again.addEventListener('click', () => tryField(form, pairOf(form, input)));
      form.querySelector('.fault.loose').append(' ', again);
    }
    return;
  }
  const shape = f => [...f.querySelectorAll('.field')].map(e => e.dataset.path).join();
  if (shape(made(got.form).querySelector('form')) !== shape(form)) { swap(got.form); return; }
  const by = new Map(got.fields.map(f => [f.path, f]));
  for (const e of form.querySelectorAll('.field')) {
    const f = by.get(e.dataset.path), input = inputOf(e), saw = form.elements[`w:${e.dataset.path}`];
    // A newer text that still waits keeps what it was written over.
    if (saw) saw.value = f ? f.literal : '';
    e.querySelectorAll('.fault').forEach(p => p.remove());
    if (!f || !f.faults.length) { input.removeAttribute('aria-invalid'); continue; }
    input.setAttribute('aria-invalid', 'true');
    for (const text of f.faults) {
      const p = document.createElement('p');
      p.className = 'fault'; p.setAttribute('role', 'alert'); p.textContent = text;
      e.append(p);
    }
  }
}

function swap(html) {    // the form has other fields by now
  const held = document.activeElement?.id;
  document.getElementById('part').replaceWith(made(html).firstElementChild);
  wake(document.getElementById('part'));
  if (held) document.getElementById(held)?.focus({ preventScroll: true });
}

const pairOf = (form, input) => [
  ['rev', ''], ['do', 'set'], [input.name, input.value],
  [`w:${input.name.slice(2)}`, form.elements[`w:${input.name.slice(2)}`].value],
];

function wake(root) {
  for (const slide of root.querySelectorAll('input.slide')) {
    slide.hidden = false;
    slide.addEventListener('input', () => {
      const input = document.getElementById(slide.dataset.for);
      input.value = slide.dataset.before + String(Number(Number(slide.value).toPrecision(6))) + slide.dataset.after;
      const body = pairOf(input.form, input);
      if (lastField === input.name) body.push(['follows', 'yes']);
      lastField = input.name;
      tryField(input.form, body);
    });
    slide.addEventListener('change', () => { lastField = null; });
  }
  for (const form of root.querySelectorAll('form[data-live]')) {
    form.addEventListener('change', e => {
      if (e.target.name?.startsWith('v:')) tryField(form, pairOf(form, e.target));
    });
    form.addEventListener('submit', e => {
      e.preventDefault();
      const does = e.submitter?.value;
      // Enter in a field: it was tried as it was left, or is tried now.
      if (!does || does === 'set') { document.activeElement?.blur?.(); return; }
      tryField(form, [...new FormData(form), ['do', does]]);
    });
  }
}

// The plot: read out by mouse, touch and keys, zoomed by buttons, keys or a stroke.
const NS = 'http://www.w3.org/2000/svg';
class YearPlot extends HTMLElement {
  connectedCallback() {
    if (this.awake) return;
    this.awake = true;
    this.first = this.getAttribute('first'); this.last = this.getAttribute('last');
    this.from = this.first; this.to = this.last;
    this.tip = this.querySelector('.tip');
    const knobs = this.querySelector('.knobs');
    if (knobs) knobs.hidden = false;
    this.setup();
    const picture = this.querySelector('.picture');
    picture.addEventListener('pointermove', e => { this.at(e); this.stretch(e); });
    picture.addEventListener('pointerdown', e => { this.at(e); if (e.pointerType === 'mouse') this.begin = this.index(e); });
    picture.addEventListener('pointerup', e => this.cut(e));
    picture.addEventListener('pointerleave', e => { if (e.pointerType === 'mouse') { this.hide(); this.begin = null; this.area?.remove(); } });
    this.addEventListener('keydown', e => this.key(e));
    this.addEventListener('click', e => { const b = e.target.closest('button[data-do]'); if (b) this.zoom(b.dataset.do); });
    this.addEventListener('change', e => { const h = e.target.dataset.hide; if (h) this.classList.toggle(`hide-${h}`, !e.target.checked); });
  }
  setup() {
    this.svg = this.querySelector('.picture svg');
    const data = this.querySelector('.picture script');
    if (!this.svg || !data) return;
    this.data = JSON.parse(data.textContent);
    this.box = this.svg.dataset.box.split(',').map(Number);
    this.i = null; this.hair = null;
  }
  scale() { return this.svg.viewBox.baseVal.width / this.svg.getBoundingClientRect().width; }
  index(e) {
    const x = (e.clientX - this.svg.getBoundingClientRect().left) * this.scale();
    const n = this.data.x.length - 1;
    return Math.max(0, Math.min(n, Math.round((x - this.box[0]) / (this.box[2] - this.box[0]) * n)));
  }
  at(e) { if (this.data) this.show(this.index(e)); }
  place(i) { return this.box[0] + i / Math.max(1, this.data.x.length - 1) * (this.box[2] - this.box[0]); }
  show(i) {
    this.i = i;
    if (!this.hair) {
      this.hair = document.createElementNS(NS, 'line');
      this.hair.setAttribute('class', 'hair');
      this.svg.append(this.hair);
    }
    const x = this.place(i);
    for (const [k, v] of [['x1', x], ['x2', x], ['y1', this.box[1]], ['y2', this.box[3]]]) this.hair.setAttribute(k, v);
    const line = s => s.mid[i] == null ? null : `${s.name}: ${s.lo[i]} to ${s.hi[i]} ${s.unit} (middle ${s.mid[i]})`;
    this.tip.textContent = [this.data.x[i], ...this.data.series.map(line).filter(Boolean)].join('\n');
    this.classList.add('reads');
    const px = x / this.scale(), wide = this.tip.offsetWidth;
    const left = px + 12 + wide > this.clientWidth ? px - wide - 12 : px + 12;
    this.tip.style.left = `${Math.max(0, Math.min(left, this.clientWidth - wide))}px`;
  }
  hide() { this.classList.remove('reads'); this.hair?.remove(); this.hair = null; }
  stretch(e) {
    if (this.begin == null) return;
    const now = this.index(e);
    if (!this.area) {
      this.area = document.createElementNS(NS, 'rect');
      this.area.setAttribute('class', 'pick-area');
    }
    const [a, b] = [this.place(Math.min(now, this.begin)), this.place(Math.max(now, this.begin))];
    for (const [k, v] of [['x', a], ['width', b - a], ['y', this.box[1]], ['height', this.box[3] - this.box[1]]]) this.area.setAttribute(k, v);
    this.svg.append(this.area);
  }
  cut(e) {
    if (this.begin == null) return;
    const [a, b] = [this.begin, this.index(e)].sort((p, q) => p - q);
    this.begin = null; this.area?.remove();
    if (b - a >= 7) this.load(this.data.x[a], this.data.x[b]);
  }
  key(e) {
    if (!this.data || e.target !== this) return;
    const n = this.data.x.length - 1;
    const by = { ArrowLeft: -1, ArrowRight: 1, PageUp: -30, PageDown: 30, Home: -n, End: n }[e.key];
    if (by != null) { e.preventDefault(); this.show(this.i == null ? 0 : Math.max(0, Math.min(n, this.i + by))); }
    else if (e.key === '+' || e.key === '=') this.zoom('closer');
    else if (e.key === '-') this.zoom('wider');
    else if (e.key === 'Escape') this.hide();
  }
  zoom(how) {
    const day = 86400000, t = s => Date.parse(s + 'T00:00:00Z'), d = n => new Date(n).toISOString().slice(0, 10);
    let [a, b] = [t(this.from), t(this.to)];
    const len = b - a, mid = this.i != null ? t(this.data.x[this.i]) : (a + b) / 2;
    if (how === 'closer') [a, b] = [mid - len / 4, mid + len / 4];
    if (how === 'wider') [a, b] = [mid - len, mid + len];
    if (how === 'earlier') [a, b] = [a - len / 2, b - len / 2];
    if (how === 'later') [a, b] = [a + len / 2, b + len / 2];
    const [lo, hi] = [t(this.first), t(this.last)];
    if (b - a < 14 * day) b = a + 14 * day;
    if (a < lo) { b = Math.min(hi, b + lo - a); a = lo; }
    if (b > hi) { a = Math.max(lo, a - (b - hi)); b = hi; }
    this.load(d(Math.round(a / day) * day), d(Math.round(b / day) * day));
  }
  async load(from, to) {
    this.ac?.abort(); this.ac = new AbortController();
    try {
      const q = new URLSearchParams({ from, to, w: Math.round(this.clientWidth) });
      const r = await fetch(`${this.getAttribute('src')}?${q}`, { signal: this.ac.signal });
      if (!r.ok) return;
      this.querySelector('.picture').innerHTML = await r.text();
      this.from = from; this.to = to;
      this.hide(); this.setup();
      document.body.dataset.zoomed = `${from} ${to}`;
    } catch (e) { if (e.name !== 'AbortError') say('The plot could not be drawn anew.'); }
  }
}
customElements.define('year-plot', YearPlot);

// What runs, and what others do.
function listen() {
  if (!plan || !document.querySelector('#live, #advice')) return;
  const events = new EventSource(`/plans/${plan}/events`);
  events.onmessage = e => {
    const got = JSON.parse(e.data);
    const live = document.getElementById('live');
    if (got.kind === 'progress') {
      const p = document.querySelector('#advice .progress') || (live?.dataset.next && live.querySelector('.progress'));
      if (!p) return;
      p.hidden = live && got.done >= got.of;
      p.querySelector('progress').value = got.of ? got.done / got.of : 0;
      p.querySelector('span').textContent = `${got.done} of ${got.of} worlds`;
    }
    if (got.kind === 'changed' && live) setTimeout(() => news(got.rev), 400);
  };
  addEventListener('pagehide', () => events.close());
}

const revOf = () => Number(document.querySelector('form[data-live]')?.elements.rev.value || document.getElementById('live').dataset.rev);

async function news(rev) {   // another window or an editor has changed the plan
  if (busy || rev <= revOf()) return;
  step++;
  running?.abort();
  const r = await fetch(`/plans/${plan}/live?stage=quick&on=${on()}&w=${room()}`, { headers: { accept: 'text/html' } });
  if (r.ok) { put(await r.text()); say('The plan was changed elsewhere; this is how it stands now.'); goOn(); }
  const form = document.querySelector('form[data-live]');
  if (!form) return;
  const fresh = await fetch(`${form.action}?on=form`, { headers: { accept: 'text/html' } });
  if (!fresh.ok) return;
  // What is being typed here stays; the other fields follow.
  const theirs = made(await fresh.text()).querySelector('form');
  for (const input of theirs.querySelectorAll('[name^="v:"]')) {
    const mine = form.elements[input.name], saw = form.elements[`w:${input.name.slice(2)}`];
    if (!mine || mine === document.activeElement) continue;
    mine.value = input.value;
    if (saw) saw.value = theirs.elements[`w:${input.name.slice(2)}`].value;
  }
  form.elements.rev.value = theirs.elements.rev.value;
}

addEventListener('beforeprint', () => document.querySelectorAll('details').forEach(d => { d.dataset.was = d.open; d.open = true; }));
addEventListener('afterprint', () => document.querySelectorAll('details').forEach(d => { d.open = d.dataset.was === 'true'; }));

// Advice takes its time: it is fetched into its place.
async function advise(place) {
  try {
    const r = await fetch(place.dataset.src, { headers: { accept: 'text/html' } });
    place.replaceChildren(made(await r.text()).querySelector('#answer, main') || 'No answer came.');
  } catch { place.textContent = 'The program does not answer; is it running?'; }
  document.body.dataset.advised = 'yes';
}

// The diary: an entry that cannot be sent now waits on this device and is sent later,
// under a name of its own, so that it stands once.
const waits = () => { try { return JSON.parse(localStorage.getItem('entries') || '[]'); } catch { return []; } };
const keepWaiting = list => localStorage.setItem('entries', JSON.stringify(list));
async function send(entry) {
  return fetch(entry.to, { method: 'POST', body: new URLSearchParams(entry.pairs), headers: { accept: 'application/json' } });
}
async function sendWaiting() {
  let list = waits(), sent = 0;
  for (const entry of [...list]) {
    try {
      const r = await send(entry);
      if (!r.ok && r.status >= 500) break;
      // Sent, or refused for good: what was refused is shown in its words.
      if (!r.ok) say(`Not taken: ${entry.pairs.map(p => p[1]).join(' ')}`);
      list = list.filter(e => e.uid !== entry.uid); keepWaiting(list); sent++;
    } catch { break; }
  }
  return sent;
}
for (const form of document.querySelectorAll('form[data-entry]')) {
  form.addEventListener('submit', async e => {
    const uid = crypto.randomUUID ? crypto.randomUUID() : [...crypto.getRandomValues(new Uint8Array(16))].map(b => b.toString(16).padStart(2, '0')).join('');
    const pairs = [...new FormData(form), ['do', 'add'], ['uid', uid]];
    e.preventDefault();
    const status = document.querySelector('.entry .status');
    try {
      const r = await send({ to: form.action, pairs });
      const got = await r.json();
      if (!r.ok) { status.textContent = got.error; status.className = 'status fault'; return; }
      if (got.caution) { alertOf(form, got.caution); return; }
      location.reload();
    } catch {
      keepWaiting([...waits(), { uid, to: form.action, pairs }]);
      status.textContent = `Out of reach: ${waits().length} waiting on this device, to be sent when the program answers again.`;
      document.body.dataset.waiting = String(waits().length);
      form.reset();
    }
  });
  const kind = form.elements.kind;
  if (kind.tagName === 'SELECT') kind.addEventListener('change', () => {
    form.querySelector('#words-help span').textContent = kind.selectedOptions[0].dataset.example;
  });
}
for (const input of document.querySelectorAll('input[data-photo]')) {
  input.closest('.field').hidden = false;
  input.addEventListener('change', async () => {
    const status = document.querySelector('.entry .status'), file = input.files[0];
    if (!file) return;
    try {
      const r = await fetch(input.dataset.photo, { method: 'POST', body: file, headers: { accept: 'application/json', 'content-type': file.type } });
      const got = await r.json().catch(() => ({ error: 'This photo is too large.' }));
      if (!r.ok) { status.textContent = got.error; status.className = 'status fault'; return; }
      location.reload();
    } catch { status.textContent = 'Out of reach: the photo was not sent; it is still on this device.'; }
  });
}
for (const button of document.querySelectorAll('button[data-fetch]')) {
  button.hidden = false;
  button.addEventListener('click', async () => {
    button.disabled = true;
    const place = button.parentElement;
    const r = await fetch(`${button.dataset.fetch}${button.dataset.fetch.includes('?') ? '&' : '?'}w=${Math.round(place.clientWidth)}`, { headers: { accept: 'text/html' } });
    button.replaceWith(made(await r.text()).querySelector('#answer, main') || 'No answer came.');
    document.body.dataset.learned = 'yes';
  });
}
if (document.querySelector('form[data-entry]')) {
  const again = async () => { if (waits().length && await sendWaiting()) location.reload(); };
  again();
  addEventListener('online', again);
  setInterval(again, 5000);
}

const part = document.getElementById('part');
if (part) wake(part);
listen();
goOn();
const advice = document.getElementById('advice');
if (advice) advise(advice);
