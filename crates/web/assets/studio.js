// What a page cannot do alone: live changes, cells like a spreadsheet's, fraction keys, a queue for ticks.
// Everything works without it; nothing here works anything out.
(() => {
  'use strict';
  document.documentElement.classList.add('script');

  const newId = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    const now = BigInt(Date.now());
    for (let place = 0; place < 6; place += 1) bytes[place] = Number((now >> BigInt(8 * (5 - place))) & 255n);
    bytes[6] = (bytes[6] & 0x0f) | 0x70;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
  };

  // ---- Saying what goes on ------------------------------------------------------------------------------
  const live = document.getElementById('live');
  const say = (words) => {
    if (live && live.textContent !== words) live.textContent = words;
  };
  const NO_ANSWER = 'Not saved: the studio does not answer. What you typed is still here; save again.';
  // Turned away for now: what was to be saved waits, and the way in opens beside it.
  const isSignedOut = (answer) => answer?.status === 401 || answer?.status === 429;
  const saySignedOut = (words) => {
    say(`${words} Signed out. `);
    if (!live) return;
    const way = document.createElement('a');
    way.href = '/sign-in';
    way.target = '_blank';
    way.textContent = 'Sign in';
    live.append(way);
  };
  const clock = () => new Date().toTimeString().slice(0, 5);
  // names the act whose entry waits here; the studio names it in its answer
  const ACT = 'Lengthwise-Act';
  const post = (path, body, act) =>
    fetch(path, {
      method: 'POST',
      headers: { 'Content-Type': 'application/x-www-form-urlencoded', ...(act && { [ACT]: act }) },
      body,
      redirect: 'manual',
      signal: AbortSignal.timeout(10000),
    });
  const said = async (answer) => {
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
    return page.querySelector('.summary li, h1')?.textContent.trim() ?? 'it was refused';
  };

  // ---- Ticks: a queue that loses and doubles none -------------------------------------------------------
  // A tick waits on the device while the studio does not answer, and is sent again under the same id, in order.
  const WAITS = 'lengthwise-waiting';
  const waiting = () => {
    try {
      return JSON.parse(localStorage.getItem(WAITS) || '[]');
    } catch {
      return [];
    }
  };
  const keepWaiting = (entries) => {
    try {
      localStorage.setItem(WAITS, JSON.stringify(entries));
      return true;
    } catch {
      return false;
    }
  };
  let sending = false;
  let taken = 0;
  let pause = 500;
  const sendWaiting = async () => {
    if (sending) return;
    sending = true;
    let refused = '';
    let count = 0;
    // with hardly any room the studio still takes strikes: they do not wait behind ticks, which it does not take
    const noRoom = new Map();
    const kindOf = (entry) => (entry.path.includes('/trial/') ? 'strikes' : 'ticks');
    const next = () => waiting().find((entry) => !noRoom.has(kindOf(entry)));
    try {
      for (let entry = next(); entry; entry = next()) {
        const answer = await post(entry.path, entry.body, entry.id).catch(() => null);
        const isOut = isSignedOut(answer);
        // an answer that does not name the act is not the studio's, or not to what was sent: it waits on
        const isAnswered = answer?.headers.get(ACT) === entry.id;
        const isTaken = isAnswered && !isOut && (answer.ok || (answer.status >= 400 && answer.status < 500));
        if (answer?.status === 507) {
          noRoom.set(kindOf(entry), await said(answer));
          continue;
        }
        if (!isTaken) {
          if (isOut) saySignedOut(`${waiting().length} not saved yet.`);
          else say(`${waiting().length} waiting on this device. Go on; it will be sent when the studio answers.`);
          setTimeout(sendWaiting, pause);
          pause = Math.min(pause * 2, 5000);
          return;
        }
        pause = 500;
        count += 1;
        taken += 1;
        if (answer.status >= 400) refused = await said(answer);
        keepWaiting(waiting().filter((other) => other.id !== entry.id));
        document.dispatchEvent(new CustomEvent('lengthwise:sent', { detail: { entry, isKept: answer.status < 400 } }));
        if (!refused) sent(entry);
      }
      if (count > 0) await refresh();
      if (refused) say(`Not saved: ${refused}`);
      else if (count > 0) say(`Saved ${clock()}`);
      if (noRoom.size > 0) {
        say(`${waiting().length} waiting on this device. ${[...noRoom.values()].at(-1)}`);
        setTimeout(sendWaiting, pause);
        pause = Math.min(pause * 2, 5000);
        return;
      }
    } finally {
      sending = false;
    }
    // what came while the page was refreshed
    if (waiting().length > 0) sendWaiting();
  };
  // what was sent is no longer being typed
  const sent = (entry) => {
    const fields = new URLSearchParams(entry.body);
    for (const field of document.querySelectorAll('[data-tick] input[name="typed"]')) {
      const isOfStep = field.form.querySelector('input[name="step"]')?.value === fields.get('step');
      if (isOfStep && field.value === fields.get('typed')) field.defaultValue = field.value;
    }
  };
  const lastTouch = new Map();
  const tick = (form, button, at) => {
    const fields = new FormData(form, button);
    const step = fields.get('step');
    // two touches of one knuckle within 300 ms count once
    if (at - (lastTouch.get(step) ?? -Infinity) < 300) return;
    lastTouch.set(step, at);
    const isKept = keepWaiting([...waiting(), { id: fields.get('act') || newId(), path: form.getAttribute('action'), body: new URLSearchParams(fields).toString() }]);
    if (!isKept) {
      // a browser that keeps nothing cannot queue: it is sent as any other form
      take(form, button);
      return;
    }
    const own = form.querySelector('input[name="act"]');
    if (own) own.value = newId();
    document.dispatchEvent(new Event('lengthwise:queued'));
    sendWaiting();
  };
  window.addEventListener('beforeunload', (event) => {
    if (waiting().length > 0) event.preventDefault();
  });

  // ---- Forms that survive a studio that does not answer -------------------------------------------------
  // While a form is under way the page is not refreshed: it is about to be another, and a press would be lost with it.
  /** After this long the page says that it waits, ms. */
  const SLOW = 2500;
  let taking = 0;
  let isMissed = false;
  const take = async (form, button) => {
    taking += 1;
    try {
      await sendForm(form, button);
    } finally {
      taking -= 1;
      if (isMissed && taking === 0) refresh();
    }
  };
  const sendForm = async (form, button) => {
    const body = new URLSearchParams(new FormData(form, button)).toString();
    const path = button?.getAttribute('formaction') || form.getAttribute('action') || location.pathname;
    say('Saving');
    const slow = setTimeout(() => say('Still saving: the studio is busy with other pages.'), SLOW);
    let answer;
    try {
      answer = await fetch(path, {
        method: 'POST',
        headers: { 'Content-Type': 'application/x-www-form-urlencoded' },
        body,
        signal: AbortSignal.timeout(10000),
      });
    } catch {
      say(NO_ANSWER);
      return;
    } finally {
      clearTimeout(slow);
    }
    if (isSignedOut(answer)) {
      saySignedOut('Not saved. What you typed is still here; sign in and save again.');
      return;
    }
    if (answer.redirected && answer.ok) {
      settled = true;
      const there = new URL(answer.url);
      if (there.pathname === location.pathname && there.hash) location.hash = there.hash;
      if (there.pathname === location.pathname) location.reload();
      else location.assign(answer.url);
      return;
    }
    if (answer.status >= 500) {
      say(`Not saved: ${await said(answer)} What you typed is still here; save again.`);
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
    document.title = page.title;
    const main = document.querySelector('main');
    main.replaceChildren(...page.querySelector('main').childNodes);
    main.toggleAttribute('data-refused', !answer.ok);
    say('');
    scrollTo(0, 0);
    window.htmx?.process(main);
    dress(main);
    document.querySelector('main .summary, main [role="alert"]')?.focus();
  };
  // Who signs out leaves nothing behind on the device, and loses nothing unasked.
  const leave = (form, event) => {
    const left = waiting().length;
    if (left > 0 && !confirm(`${left} not saved yet. Sign out and lose it?`)) {
      event.preventDefault();
      sendWaiting();
      return;
    }
    keepWaiting([]);
  };
  // The code a camera read stands in the address, behind what is sent.
  const code = document.querySelector('.doorway #code');
  if (code && location.hash.startsWith('#code=')) {
    code.value = location.hash.slice(6);
    history.replaceState(null, '', location.pathname);
  }
  let settled = false;
  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.method !== 'post' || form.enctype === 'multipart/form-data') return;
    if (form.matches('[data-leaves]')) leave(form, event);
    if (form.matches('[data-plain], [data-leaves], .doorway form')) return;
    event.preventDefault();
    if (form.matches('[data-tick]')) tick(form, event.submitter, event.timeStamp);
    else take(form, event.submitter);
  });

  // ---- Live changes ------------------------------------------------------------------------------------
  // One stream; when this page's golfer changed elsewhere, what it shows is fetched anew, unless it is being typed in.
  const follows = document.body.dataset.follows;
  const isChanged = (field) => {
    if (field.matches('[type="radio"], [type="checkbox"]')) return field.checked !== field.defaultChecked;
    if (field.matches('select')) return [...field.options].some((option) => option.selected !== option.defaultSelected);
    return field.value !== field.defaultValue;
  };
  const FIELDS = 'input:not([type="hidden"]), textarea, select';
  // what was refused stands as it was typed, and is in no page that is fetched anew
  const isTypedIn = () =>
    document.querySelector('main[data-refused], main .summary, main [aria-invalid="true"]') !== null ||
    [...document.querySelectorAll(`main :is(${FIELDS})`)].some(isChanged);
  // Makes the old content as the new one, leaving alone what is typed in or has the focus.
  const morph = (old, fresh) => {
    if (old.isEqualNode(fresh)) return;
    if (old.nodeType === Node.TEXT_NODE) {
      old.data = fresh.data;
      return;
    }
    if (old.matches(FIELDS) && isChanged(old)) return;
    for (const { name } of [...old.attributes]) {
      if (!fresh.hasAttribute(name) && !(name === 'open' && old.localName === 'details')) old.removeAttribute(name);
    }
    for (const { name, value } of fresh.attributes) {
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
    if (old.matches('input')) old.value = fresh.getAttribute('value') ?? '';
    let at = old.firstChild;
    for (const child of [...fresh.childNodes]) {
      const isLike = (node) => node && node.nodeName === child.nodeName && (node.id ?? '') === (child.id ?? '');
      let like = at;
      while (like && !isLike(like)) like = child.id ? like.nextSibling : null;
      if (like) {
        while (at !== like) {
          const gone = at;
          at = at.nextSibling;
          gone.remove();
        }
        at = like.nextSibling;
        morph(like, child);
      } else {
        old.insertBefore(child, at);
      }
    }
    while (at) {
      const gone = at;
      at = at.nextSibling;
      if (!gone.matches?.('.keypad, .show-keys, .preview')) gone.remove();
    }
  };
  const refresh = async () => {
    if (settled) return;
    isMissed = taking > 0;
    if (isMissed) return;
    const bench = document.querySelector('#bench, #bay');
    const takenBefore = taken;
    if (!bench && isTypedIn()) {
      say('Changed on another device. Save, or load the page again to see it.');
      return;
    }
    let text;
    try {
      const answer = await fetch(location.href, { headers: { Accept: 'text/html' }, signal: AbortSignal.timeout(10000) });
      if (new URL(answer.url).pathname !== location.pathname) {
        saySignedOut('Changes of other devices do not show.');
        return;
      }
      if (!answer.ok) return;
      text = await answer.text();
    } catch {
      return;
    }
    // something was taken while this was fetched: it may not be in it
    if (taken !== takenBefore) {
      await refresh();
      return;
    }
    // a form was sent, or its page is on its way, while this was fetched
    isMissed = taking > 0;
    if (settled || isMissed) return;
    if (!bench && isTypedIn()) {
      say('Changed on another device. Save, or load the page again to see it.');
      return;
    }
    const fresh = new DOMParser().parseFromString(text, 'text/html');
    const [main, now] = [document.querySelector('main'), fresh.querySelector('main')];
    if (!main || !now) return;
    const typed = [...main.querySelectorAll('[data-tick] input[name="typed"]')].filter(isChanged);
    morph(main, now);
    // what was being typed for a step stays with it, wherever it stands now
    for (const field of typed.filter((field) => !field.isConnected)) {
      const own = document.getElementById(field.id.replace(/^next-/, ''));
      if (own && !isChanged(own)) own.value = field.value;
    }
    const [foot, newFoot] = [document.querySelector('.foot'), fresh.querySelector('.foot')];
    const [undo, newUndo] = [foot?.querySelector('.undo'), newFoot?.querySelector('.undo')];
    if (undo && newUndo) morph(undo, newUndo);
    else if (newUndo) foot.prepend(newUndo);
    else undo?.remove();
    window.htmx?.process(main);
    dress(main);
    document.dispatchEvent(new Event('lengthwise:drawn'));
  };
  if (follows && window.EventSource) {
    let stream;
    let silence;
    const heard = () => {
      clearTimeout(silence);
      if (live?.textContent.startsWith('Not live')) say('');
      silence = setTimeout(() => say('Not live: changes of other devices do not show until the studio answers.'), 40000);
    };
    const open = () => {
      stream = new EventSource('/events');
      heard();
      stream.addEventListener('beat', heard);
      stream.addEventListener('open', heard);
      stream.addEventListener('reload', refresh);
      stream.addEventListener('error', () => {
        if (stream?.readyState === EventSource.CLOSED) refresh();
      });
      stream.addEventListener('change', (event) => {
        heard();
        if ((follows === 'all' || event.data === follows || event.data === 'house') && !sending) refresh();
      });
    };
    const close = () => {
      clearTimeout(silence);
      stream?.close();
      stream = undefined;
    };
    // a browser has six connections to one host: hidden tabs give theirs back
    document.addEventListener('visibilitychange', () => {
      if (document.hidden) close();
      else if (!stream) {
        open();
        refresh();
      }
    });
    if (!document.hidden) open();
    window.addEventListener('pagehide', close);
  }

  // ---- The search ------------------------------------------------------------------------------------------
  document.addEventListener('keydown', (event) => {
    const find = document.getElementById('find');
    const at = event.target;
    const hits = [...document.querySelectorAll('#hits a')];
    if (!find || (at !== find && !hits.includes(at))) return;
    const place = hits.indexOf(at);
    if (event.key === 'ArrowDown' && hits[place + 1]) hits[place + 1].focus();
    else if (event.key === 'ArrowUp' && place >= 0) (hits[place - 1] ?? find).focus();
    else if (event.key === 'Escape') {
      document.getElementById('hits').replaceChildren();
      find.focus();
    } else return;
    event.preventDefault();
  });

  // ---- Cells -------------------------------------------------------------------------------------------
  const cellsOf = (table) => [...table.tBodies[0].rows].map((row) => [...row.querySelectorAll('.cell')]);
  const placeOf = (rows, cell) => {
    const down = rows.findIndex((row) => row.includes(cell));
    return [down, down < 0 ? -1 : rows[down].indexOf(cell)];
  };
  const mark = (cell) => cell.classList.toggle('changed', cell.value !== cell.dataset.kept);
  const showNext = (table) => {
    const later = [...table.querySelectorAll('tr.later')];
    const last = [...table.tBodies[0].rows].filter((row) => !row.classList.contains('later')).at(-1);
    if (last && later[0] && [...last.querySelectorAll('.cell')].some((cell) => cell.value)) later[0].classList.remove('later');
  };
  // Numbers of a column stand with their whole parts one under another. What follows the whole part is measured in the
  // cell's own font; how much shorter than the longest of its column it is goes to the style, in the cell's em.
  const WHOLE = /^[a-z]?[-+\u2212]?\d+(?![\d/])/i;
  const tailOf = (cell) => {
    const typed = cell.value.trim();
    // a fraction alone, such as 3/4, is all tail; words stand at the end
    return /\d/.test(typed) ? typed.replace(WHOLE, '') : '';
  };
  const widthsOf = (texts, place) => {
    const ruler = document.createElement('span');
    ruler.className = 'ruler';
    const spans = texts.map((text) => {
      const span = document.createElement('span');
      span.textContent = text;
      ruler.append(span, '\n');
      return span;
    });
    place.append(ruler);
    const widths = spans.map((span) => span.getBoundingClientRect().width);
    ruler.remove();
    return widths;
  };
  const align = (table) => {
    const rows = [...table.tBodies[0].rows].map((row) => [...row.querySelectorAll('td .cell')]);
    for (let column = 0; rows[0]?.[column]; column += 1) {
      const cells = rows.map((row) => row[column]).filter((cell) => cell?.value);
      if (cells.length === 0) continue;
      const look = getComputedStyle(cells[0]);
      const em = parseFloat(look.fontSize);
      const place = cells[0].parentElement;
      const tails = widthsOf(cells.map(tailOf), place);
      const wholes = widthsOf(cells.map((cell) => cell.value.trim().slice(0, cell.value.trim().length - tailOf(cell).length)), place);
      // a tail too long for the column pushes no other number out of its cell
      const room = cells[0].clientWidth - 2 * parseFloat(look.paddingLeft) - Math.max(...wholes);
      const widest = Math.min(Math.max(...tails), room);
      cells.forEach((cell, row) => cell.style.setProperty('--shorter', `${(Math.max(widest - tails[row], 0) / em).toFixed(4)}em`));
    }
  };
  const alignAll = () => document.querySelectorAll('.cells').forEach(align);
  window.addEventListener('resize', alignAll);
  document.addEventListener('focusout', (event) => {
    if (event.target.matches?.('.cells .cell')) align(event.target.closest('table'));
  });
  const set = (cell, value) => {
    cell.value = value;
    mark(cell);
  };
  document.addEventListener('input', (event) => {
    if (!event.target.matches?.('.cell')) return;
    mark(event.target);
    showNext(event.target.closest('table'));
  });
  document.addEventListener('keydown', (event) => {
    const cell = event.target;
    if (!(cell instanceof HTMLElement) || !cell.matches('.cell')) return;
    const rows = cellsOf(cell.closest('table'));
    const [down, right] = placeOf(rows, cell);
    const go = (to) => {
      const next = rows[to]?.[right];
      if (!next) return;
      event.preventDefault();
      next.closest('tr').classList.remove('later');
      next.focus();
      next.select();
    };
    if (event.key === 'Enter' && !event.ctrlKey && !event.metaKey) {
      event.preventDefault();
      go(event.shiftKey ? down - 1 : down + 1);
    } else if (event.key === 'ArrowDown') go(down + 1);
    else if (event.key === 'ArrowUp') go(down - 1);
    else if (event.key === 'Escape') set(cell, cell.dataset.kept ?? '');
    else if (event.key.toLowerCase() === 'd' && (event.ctrlKey || event.metaKey) && down > 0) {
      event.preventDefault();
      set(cell, rows[down - 1][right].value);
    } else if (event.key === 'Enter') cell.form.requestSubmit();
  });
  // A block is shown first, column by column, and fills the cells only when that is wished.
  const columnsOf = (table) => [...table.tHead.rows[0].cells].map((cell) => cell.textContent.trim());
  const fill = (table, block, down, right) => {
    const rows = cellsOf(table);
    block.slice(0, rows.length - down).forEach((values, row) => {
      rows[down + row][0].closest('tr').classList.remove('later');
      values.forEach((value, column) => {
        const to = rows[down + row][right + column];
        if (to) set(to, value);
      });
    });
    showNext(table);
    align(table);
    const left = block.length - (rows.length - down);
    say(left > 0 ? `${left} rows did not fit. Save, then paste the rest.` : `${block.length} rows pasted. Look them over, then save.`);
  };
  const SHOWN = 3;
  const element = (name, text = '', attributes = {}) => {
    const made = document.createElement(name);
    made.textContent = text;
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  };
  const preview = (cell, block) => {
    const table = cell.closest('table');
    const [down, right] = placeOf(cellsOf(table), cell);
    const names = columnsOf(table);
    const width = Math.max(...block.map((values) => values.length));
    document.querySelector('.preview')?.remove();
    const box = element('div', '', { class: 'preview', role: 'dialog', 'aria-label': 'What will be pasted' });
    box.append(element('p', `${block.length} rows, beginning at “${cell.getAttribute('aria-label')}”. The columns are read as:`));
    const shown = element('table', '', { class: 'dense' });
    const head = shown.createTHead().insertRow();
    // the cells that can be typed into are all but the last, which leads on
    for (let column = 0; column < width; column += 1) {
      head.append(element('th', names[right + column] && right + column < names.length - 1 ? names[right + column] : 'does not fit', { class: 'text', scope: 'col' }));
    }
    const body = shown.createTBody();
    for (const values of block.slice(0, SHOWN)) {
      const row = body.insertRow();
      for (let column = 0; column < width; column += 1) row.append(element('td', values[column] ?? '', { class: 'text' }));
    }
    const wide = element('div', '', { class: 'wide', tabindex: '0', role: 'group', 'aria-label': 'The first rows' });
    wide.append(shown);
    box.append(wide);
    if (block.length > SHOWN) box.append(element('p', `and ${block.length - SHOWN} more`, { class: 'small soft' }));
    const buttons = element('div', '', { class: 'inline' });
    const [yes, no] = [element('button', 'Fill them in', { type: 'button' }), element('button', 'Leave it', { type: 'button', class: 'quiet' })];
    const close = () => {
      box.remove();
      cell.focus();
    };
    yes.onclick = () => {
      close();
      fill(table, block, down, right);
    };
    no.onclick = close;
    box.onkeydown = (event) => {
      if (event.key === 'Escape') close();
    };
    buttons.append(yes, no);
    box.append(buttons);
    (table.closest('.wide') ?? table).before(box);
    yes.focus();
  };
  document.addEventListener('paste', (event) => {
    const cell = event.target;
    if (!(cell instanceof HTMLElement) || !cell.matches('.cell')) return;
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (!/[\t\n]/.test(text.trim())) return;
    event.preventDefault();
    const lines = text.replace(/\r/g, '').replace(/\n+$/, '').split('\n');
    preview(cell, lines.map((line) => line.split('\t').map((value) => value.trim())));
  });
  // With nothing typed there is nothing the browser could undo: then it is the last save.
  document.addEventListener('keydown', (event) => {
    if (event.key.toLowerCase() !== 'z' || event.shiftKey || !(event.ctrlKey || event.metaKey)) return;
    const table = event.target.closest?.('.cells');
    const undo = document.querySelector('.foot form.undo');
    if (!table || !undo || [...table.querySelectorAll('.cell')].some(isChanged)) return;
    event.preventDefault();
    undo.requestSubmit();
  });

  // ---- The bar at the thumb ------------------------------------------------------------------------------
  // It never lies over what has the focus.
  document.addEventListener('focusin', (event) => {
    const bar = event.target.closest?.('form')?.querySelector('.keepbar');
    if (!bar || bar.contains(event.target)) return;
    const over = event.target.getBoundingClientRect().bottom + 12 - bar.getBoundingClientRect().top;
    if (over > 0) scrollBy(0, over);
  });

  // ---- Fraction keys -----------------------------------------------------------------------------------
  // Types into the field, so that the system's own keyboard and paste still work.
  const EIGHTHS = ['1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8'];
  const SIXTEENTHS = ['1/16', '3/16', '5/16', '7/16', '9/16', '11/16', '13/16', '15/16'];
  const HIDDEN = 'lengthwise-keys-hidden';
  const areHidden = () => {
    try {
      return localStorage.getItem(HIDDEN) === 'yes';
    } catch {
      return false;
    }
  };
  let typedInto;
  const keypad = (form) => {
    const pad = document.createElement('div');
    pad.className = 'keypad';
    pad.setAttribute('role', 'group');
    pad.setAttribute('aria-label', 'Keys for inches');
    let fine = false;
    const key = (label, press, name) => {
      const button = document.createElement('button');
      button.type = 'button';
      button.textContent = label;
      button.tabIndex = -1;
      if (name) button.setAttribute('aria-label', name);
      button.addEventListener('mousedown', (event) => event.preventDefault());
      button.addEventListener('click', () => typedInto && press(typedInto));
      return button;
    };
    const type = (field, text) => {
      field.value = text;
      field.dispatchEvent(new Event('input', { bubbles: true }));
    };
    const draw = () => {
      pad.replaceChildren(
        ...['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'].map((digit) => key(digit, (field) => type(field, field.value + digit))),
        ...(fine ? SIXTEENTHS : EIGHTHS).map((fraction) => key(fraction, (field) => type(field, `${field.value.replace(/\s*\d+\/\d+$/, '').trim()} ${fraction}`.trim()))),
        key(fine ? '1/8' : '1/16', () => {
          fine = !fine;
          draw();
        }, fine ? 'Eighths' : 'Sixteenths'),
        key('mm', (field) => type(field, `${field.value.replace(/\s*(mm|in)$/, '')} mm`)),
        key('\u2190', (field) => type(field, field.value.slice(0, -1)), 'Back'),
        key('next', (field) => {
          const fields = [...form.querySelectorAll('[data-fraction]')];
          fields[fields.indexOf(field) + 1]?.focus();
        }),
        key('hide', () => setHidden('yes'), 'Hide these keys'),
      );
    };
    const show = document.createElement('button');
    show.type = 'button';
    show.className = 'show-keys quiet';
    show.textContent = 'Keys for fractions';
    show.addEventListener('mousedown', (event) => event.preventDefault());
    show.addEventListener('click', () => setHidden('no'));
    let isAsked = false;
    const open = () => {
      pad.classList.toggle('open', isAsked && !areHidden());
      show.classList.toggle('open', isAsked && areHidden());
    };
    // remembered on this device
    const setHidden = (word) => {
      try {
        localStorage.setItem(HIDDEN, word);
      } catch {
        // a browser that keeps nothing shows them again
      }
      open();
    };
    draw();
    (form.querySelector('.keepbar') ?? form).append(pad, show);
    form.addEventListener('focusin', (event) => {
      const isOurs = event.target.matches('[data-fraction]');
      if (isOurs) typedInto = event.target;
      if (event.target === show) return;
      isAsked = isOurs && matchMedia('(pointer: coarse)').matches;
      open();
    });
  };

  // ---- What is put on when a page is drawn --------------------------------------------------------------
  const dress = (root) => {
    for (const form of root.querySelectorAll('[data-keypad]')) if (!form.querySelector('.keypad')) keypad(form);
    for (const table of root.querySelectorAll('.cells')) {
      // where rows stand one under another, an empty one is shown when the one before it is filled
      if (matchMedia('(max-width: 640px)').matches) {
        const empty = [...table.tBodies[0].rows].filter((row) => [...row.querySelectorAll('.cell')].every((cell) => !cell.value));
        for (const row of empty.slice(1)) row.classList.add('later');
      }
      showNext(table);
      align(table);
    }
    for (const button of root.querySelectorAll('[data-print]')) {
      button.hidden = false;
      button.onclick = () => print();
    }
  };
  dress(document);
  // measured again where the font came later than the page
  document.fonts?.ready.then(alignAll);
  if (waiting().length > 0) sendWaiting();
  document.querySelector('.summary')?.focus();
})();
