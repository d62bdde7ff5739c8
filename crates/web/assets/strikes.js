// The bay: a mark on the face is a place in millimetres; what waits on the device counts as kept.
(() => {
  'use strict';
  const bay = () => document.getElementById('bay');
  const face = () => document.getElementById('face');
  if (!bay() || !face()) return;
  const WAITS = 'lengthwise-waiting';
  let mark = null;
  let presses = 0;

  const waiting = () => {
    try {
      return JSON.parse(localStorage.getItem(WAITS) || '[]');
    } catch {
      return [];
    }
  };
  const kept = () => bay().dataset.taken.split(' ').filter(Boolean).map(Number);
  /** The balls as they stand after what was sent or waits to be. */
  const after = (balls, entry) => {
    const fields = new URLSearchParams(entry.body);
    if (fields.get('visit') !== bay().dataset.visit) return balls;
    const ball = Number(fields.get('ball'));
    if (entry.path === bay().dataset.path) return [...new Set([...balls, ball])];
    return entry.path.endsWith('/take-back') ? balls.filter((other) => other !== ball) : balls;
  };
  /** The balls that are kept or wait on this device. */
  const taken = () => waiting().reduce(after, kept());
  const turns = () => [...bay().dataset.turns];
  const next = () => turns().findIndex((_, place) => !taken().includes(place + 1)) + 1;

  // ---- Places ------------------------------------------------------------------------------------------
  const number = (name) => Number(face().dataset[name]);
  const unitsOf = (place) => ({
    x: number('centreX') + number('toe') * place.x * number('scale'),
    y: number('centreY') - place.y * number('scale'),
  });
  const placeOf = (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(face().getScreenCTM().inverse());
    const half = (value) => Math.round(value * 2) / 2;
    return {
      x: half((number('toe') * (at.x - number('centreX'))) / number('scale')),
      y: half((number('centreY') - at.y) / number('scale')),
    };
  };
  const isOnTheFace = (place) => {
    const at = unitsOf(place);
    const box = face().viewBox.baseVal;
    return at.x >= box.x && at.x <= box.x + box.width && at.y >= box.y && at.y <= box.y + box.height;
  };
  const words = (place) => {
    const part = (value, more, less) => (value === 0 ? [] : [`${Math.abs(value)} ${value > 0 ? more : less}`]);
    const parts = [...part(place.x, 'toe', 'heel'), ...part(place.y, 'high', 'low')];
    return parts.length > 0 ? parts.join(' ') : '0';
  };

  // ---- Drawing -----------------------------------------------------------------------------------------
  const SVG = 'http://www.w3.org/2000/svg';
  const drawMark = () => {
    face().querySelector('#mark')?.remove();
    if (!mark) return;
    const at = unitsOf(mark);
    const group = document.createElementNS(SVG, 'g');
    group.id = 'mark';
    const dot = document.createElementNS(SVG, 'circle');
    const size = number('scale');
    for (const [name, value] of Object.entries({ cx: at.x, cy: at.y, r: size * 1.6, class: 'solid-want' })) dot.setAttribute(name, value);
    group.append(dot);
    face().append(group);
  };
  const readout = document.getElementById('readout');
  const say = (text) => {
    if (readout.textContent !== text) readout.textContent = text;
  };
  const field = () => document.getElementById('place');
  const set = (place, isTyped = false) => {
    mark = place;
    if (!isTyped) field().value = place ? words(place) : '';
    say(place ? words(place).replace(/^0$/, 'on the sweet spot') : 'Touch the face where the ball was struck');
    drawMark();
  };
  const draw = () => {
    const ball = next();
    const letters = turns();
    const put = (id, text) => {
      const element = document.getElementById(id);
      if (element.textContent !== text) element.textContent = text;
    };
    put('ball', ball > 0 ? `Ball ${ball} of ${letters.length}` : `All ${letters.length} balls are kept`);
    put('letter', ball > 0 ? letters[ball - 1] : '');
    put('soon', ball > 0 && letters[ball] ? `then ${letters[ball]}` : '');
    const form = document.getElementById('strike');
    form.elements.ball.value = ball > 0 ? ball : '';
    // a ball hit again after it was taken back is a step of its own, however quickly it comes
    form.elements.step.value = `ball-${ball}-${presses}`;
    form.querySelector('.keep').disabled = ball === 0;
    form.querySelector('.keep').classList.toggle('primary', ball > 0);
    document.getElementById('to-the-trial').classList.toggle('primary', ball === 0);
    const back = document.getElementById('take-back');
    back.elements.ball.value = Math.max(0, ...taken()) || '';
    back.querySelector('button').disabled = taken().length === 0;
    document.getElementById('nudges').hidden = false;
    document.getElementById('topped').hidden = false;
    drawMark();
  };

  // ---- Touch -------------------------------------------------------------------------------------------
  // Press shows the place under a loupe, steering moves it, lifting sets it; released off the face it is not set.
  let loupe = null;
  const magnify = (event, place) => {
    if (!loupe) {
      loupe = document.createElement('div');
      loupe.className = 'loupe';
      loupe.setAttribute('aria-hidden', 'true');
      const copy = face().cloneNode(true);
      copy.removeAttribute('id');
      for (const element of copy.querySelectorAll('[id]')) element.removeAttribute('id');
      loupe.append(copy, document.createElement('b'));
      document.body.append(loupe);
    }
    const at = unitsOf(place);
    const reach = 14 * number('scale');
    loupe.firstChild.setAttribute('viewBox', `${at.x - reach} ${at.y - reach} ${2 * reach} ${2 * reach}`);
    loupe.lastChild.textContent = words(place);
    const isNearTop = event.clientY < 240;
    loupe.style.left = `${Math.min(Math.max(event.clientX - 84, 8), innerWidth - 176)}px`;
    loupe.style.top = `${isNearTop ? event.clientY + 48 : event.clientY - 216}px`;
  };
  const endLoupe = () => {
    loupe?.remove();
    loupe = null;
  };
  document.addEventListener('pointerdown', (event) => {
    if (!event.target.closest?.('#face') || next() === 0) return;
    event.preventDefault();
    face().setPointerCapture(event.pointerId);
    magnify(event, placeOf(event));
  });
  document.addEventListener('pointermove', (event) => {
    if (loupe) magnify(event, placeOf(event));
  });
  document.addEventListener('pointerup', (event) => {
    if (!loupe) return;
    endLoupe();
    const place = placeOf(event);
    if (isOnTheFace(place)) set(place);
    else say('Off the face; topped or shanked? Then it is not recorded.');
  });
  document.addEventListener('pointercancel', endLoupe);
  document.addEventListener('click', (event) => {
    const nudge = event.target.closest?.('#nudges button');
    if (nudge) move(Number(nudge.dataset.x), Number(nudge.dataset.y));
    if (event.target.id === 'topped') {
      set(null);
      say('Not recorded. Hit it again with the same club.');
    }
  });
  const move = (x, y) => {
    const from = mark ?? { x: 0, y: 0 };
    const place = { x: from.x + x, y: from.y + y };
    if (isOnTheFace(place)) set(place);
  };

  // ---- Keys --------------------------------------------------------------------------------------------
  const STEPS = { ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
  document.addEventListener('keydown', (event) => {
    const isTyping = event.target.matches?.('input, textarea, select, summary');
    if (event.ctrlKey || event.metaKey || event.altKey || isTyping || !bay()) return;
    const step = STEPS[event.key];
    if (step) {
      const by = event.shiftKey ? 5 : 1;
      // left and right as they are seen: the toe is on the left for a right-hander
      move(step[0] * by * number('toe'), step[1] * by);
    } else if (event.key === 'Enter' && mark && !event.target.closest?.('button, a')) document.getElementById('strike').requestSubmit();
    else if (event.key === 'Backspace') document.getElementById('take-back').requestSubmit();
    else return;
    event.preventDefault();
  });
  document.addEventListener('input', (event) => {
    if (event.target === field()) mark = null;
    drawMark();
  });

  // ---- What is kept ------------------------------------------------------------------------------------
  // One ball takes a mark and a press: a press without a mark keeps nothing, so a double touch counts once.
  document.addEventListener(
    'submit',
    (event) => {
      if (event.target.id !== 'strike') return;
      if (field().value.trim() === '') {
        event.preventDefault();
        event.stopImmediatePropagation();
        say('Touch the face first, or type the place.');
      }
    },
    true,
  );
  document.addEventListener('lengthwise:queued', () => {
    presses += 1;
    for (const typed of document.querySelectorAll('#strike .entry input')) typed.value = '';
    set(null);
    draw();
  });
  document.addEventListener('lengthwise:drawn', draw);
  // what the studio has taken is kept, whatever older page comes in between
  document.addEventListener('lengthwise:sent', ({ detail: { entry, isKept } }) => {
    if (isKept) bay().dataset.taken = after(kept(), entry).join(' ');
    draw();
  });

  navigator.wakeLock?.request('screen').catch(() => {});
  draw();
})();
