// What is measured inside the page. Each function is sent there whole, so each stands alone.

/** Elements that stand out to the right of the page's width, or whose own text does, and that no scrolling box holds. */
export function tooWide(width) {
  const held = (element) => {
    for (let box = element; box && box !== document.body; box = box.parentElement) {
      if (getComputedStyle(box).overflowX !== 'visible' && box.scrollWidth > box.clientWidth) return true;
    }
    return false;
  };
  // text that may not break stands out of a box that does not
  const end = (element) => {
    const range = document.createRange();
    const texts = [...element.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE);
    const ends = texts.map((node) => {
      range.selectNode(node);
      return range.getBoundingClientRect().right;
    });
    return Math.max(element.getBoundingClientRect().right, ...ends);
  };
  const offenders = [...document.querySelectorAll('main, main *')].filter(
    (element) => end(element) > width + 0.5 && (element.localName === 'main' || !held(element)),
  );
  // a row is not named for its cell
  return offenders
    .filter((element) => ![...element.children].some((child) => offenders.includes(child)))
    .map((element) => {
      const name = [element.localName, ...element.classList].join('.');
      return `${name} ends at ${end(element).toFixed(1)} of ${width}: ${element.textContent.trim().slice(0, 60)}`;
    });
}

/** The reader's setting: the root's font twice as large. */
export function doubleTheRoot() {
  const size = parseFloat(getComputedStyle(document.documentElement).fontSize);
  document.documentElement.style.setProperty('font-size', `${2 * size}px`, 'important');
}

/** A browser's zoom of text alone: every text twice as large, also where a size is set in pixels. */
export function doubleEveryText() {
  const all = [...document.querySelectorAll('body, body *:not(svg, svg *)')];
  const sizes = all.map((element) => parseFloat(getComputedStyle(element).fontSize));
  all.forEach((element, index) =>
    element.style.setProperty('font-size', `${2 * sizes[index]}px`, 'important'),
  );
}

/** Boxes that hold more than they show; not those that hide a table head from sight only. */
export function scrollingBoxes() {
  return [...document.querySelectorAll('body *')]
    .filter((box) => ['auto', 'scroll', 'hidden', 'clip'].includes(getComputedStyle(box).overflowX))
    .filter((box) => box.clientWidth > 1 && box.scrollWidth > box.clientWidth + 1)
    .map((box) => ({
      what: [box.localName, ...box.classList].join('.'),
      scrolls: ['auto', 'scroll'].includes(getComputedStyle(box).overflowX),
      isFocusable: box.tabIndex >= 0,
      name: box.getAttribute('aria-label') ?? '',
    }));
}

/** The faults of every drawing in the document. */
export function drawings() {
  const boxOf = (text, svg) => {
    const box = text.getBBox();
    const matrix = svg.getScreenCTM().inverse().multiply(text.getScreenCTM());
    const corners = [
      [box.x, box.y],
      [box.x + box.width, box.y],
      [box.x, box.y + box.height],
      [box.x + box.width, box.y + box.height],
    ].map(([x, y]) => new DOMPoint(x, y).matrixTransform(matrix));
    const [xs, ys] = [corners.map((corner) => corner.x), corners.map((corner) => corner.y)];
    return {
      words: text.textContent,
      left: Math.min(...xs),
      right: Math.max(...xs),
      top: Math.min(...ys),
      bottom: Math.max(...ys),
    };
  };
  // the box of a text is as high as its line: its letters begin lower and end higher
  const shrunk = (text) => {
    const lead = (text.bottom - text.top) / 5;
    return { left: text.left + 1, right: text.right - 1, top: text.top + lead, bottom: text.bottom - lead };
  };
  const isInside = ({ x, y }, box) => x > box.left && x < box.right && y > box.top && y < box.bottom;
  const pointsOf = (shape) => {
    const length = shape.getTotalLength();
    const count = Math.ceil(length / 2);
    return Array.from({ length: count + 1 }, (_, index) =>
      shape.getPointAtLength((length * index) / Math.max(count, 1)),
    );
  };
  return [...document.querySelectorAll('svg')].map((svg) => {
    const name = svg.getAttribute('class');
    const view = svg.viewBox.baseVal;
    const texts = [...svg.querySelectorAll('text')].map((text) => boxOf(text, svg));
    const outside = texts.flatMap((text) => {
      const over = {
        left: view.x - text.left,
        right: text.right - view.x - view.width,
        top: view.y - text.top,
        bottom: text.bottom - view.y - view.height,
      };
      return Object.entries(over)
        .filter(([, by]) => by > 0.5)
        .map(([side, by]) => `${name}: "${text.words}" sticks out ${side} by ${by.toFixed(1)}`);
    });
    const overlaps = texts.flatMap((one, index) =>
      texts.slice(index + 1).flatMap((other) => {
        const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
        const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
        return across > 2 && down > 2
          ? [
              `${name}: "${one.words}" and "${other.words}" overlap by ${across.toFixed(1)} x ${down.toFixed(1)}`,
            ]
          : [];
      }),
    );
    // a stroke under a mask is not seen, and the hairlines of a scale may run behind a text
    const masks = [...svg.querySelectorAll('.mask')].map((mask) => mask.getBBox());
    const isMasked = ({ x, y }) =>
      masks.some(
        (mask) => x >= mask.x && x <= mask.x + mask.width && y >= mask.y && y <= mask.y + mask.height,
      );
    const strokes = [...svg.querySelectorAll('path, line, rect, circle')].filter(
      (shape) => !shape.matches('.mask, .rule') && getComputedStyle(shape).display !== 'none',
    );
    const struck = texts.flatMap((text) => {
      const box = shrunk(text);
      return strokes
        .filter((shape) => pointsOf(shape).some((point) => isInside(point, box) && !isMasked(point)))
        .map(
          (shape) =>
            `${name}: "${text.words}" is struck by ${shape.localName}.${shape.getAttribute('class')}`,
        );
    });
    return {
      name,
      role: svg.getAttribute('role'),
      title: svg.querySelector(':scope > title')?.textContent.trim() ?? '',
      description: svg.querySelector(':scope > desc')?.textContent.trim() ?? '',
      labels: (svg.getAttribute('aria-labelledby') ?? '')
        .split(/\s+/)
        .map((id) => document.getElementById(id)?.localName),
      texts: texts.length,
      outside,
      overlaps,
      struck,
    };
  });
}

/** The least contrast of a drawing's texts with the paper; axe leaves texts over shapes undecided. */
export function faintTexts(least) {
  const channel = (value) =>
    value / 255 <= 0.04045 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4;
  const brightness = (colour) => {
    const [red, green, blue] = colour
      .match(/[\d.]+/g)
      .map(Number)
      .map(channel);
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const paper = brightness(getComputedStyle(document.documentElement).backgroundColor);
  return [...document.querySelectorAll('svg text')].flatMap((text) => {
    const ink = brightness(getComputedStyle(text).fill);
    const contrast = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
    return contrast < least ? [`"${text.textContent}" has ${contrast.toFixed(1)} : 1`] : [];
  });
}

/** Which way the toe of the drawn club points: the head's middle below (+) or above (-) the shaft's axis. */
export function toeSide() {
  const middle = (shape) => {
    const box = document.querySelector(shape).getBBox();
    return box.y + box.height / 2;
  };
  return middle('svg.club path.body') - middle('svg.club path.line');
}

/** Buttons, fields and links that stand by themselves, as high as a finger can hit; a box to tick counts with its label. */
export function smallTargets(least) {
  const isSeen = (element) =>
    element.checkVisibility({ visibilityProperty: true, opacityProperty: true }) &&
    !element.closest('.unseen, .skip');
  const areaOf = (element) => {
    const label = element.matches('input[type="radio"], input[type="checkbox"]') && element.closest('label');
    return (label || element).getBoundingClientRect();
  };
  // a link in a sentence is as high as its line
  const standsAlone = (link) =>
    link.parentElement.textContent.trim() === link.textContent.trim() ||
    ['flex', 'grid', 'block'].some((display) => getComputedStyle(link).display.includes(display));
  const targets = [
    ...document.querySelectorAll('button, input:not([type="hidden"]), textarea, select, summary, a[href]'),
  ];
  return targets
    .filter((element) => isSeen(element) && (element.localName !== 'a' || standsAlone(element)))
    .filter((element) => areaOf(element).height < least - 0.1)
    .map((element) => {
      const what = element.getAttribute('aria-label') ?? element.textContent.trim();
      return `${[element.localName, ...element.classList].join('.')} "${what.slice(0, 40)}" is ${areaOf(element).height.toFixed(1)} high`;
    });
}

/** Buttons, fields and links nearer than `margin` to the left or right edge of the screen; not the bar at the thumb. */
export function atTheEdge(margin) {
  const isSeen = (element) =>
    element.checkVisibility({ visibilityProperty: true, opacityProperty: true }) &&
    !element.closest('.unseen, .skip, .keepbar');
  const right = document.documentElement.clientWidth - margin;
  // what scrolls in a box of its own ends where the box ends
  const shown = (element) => {
    let { left: from, right: to } = element.getBoundingClientRect();
    for (let box = element.parentElement; box && box !== document.body; box = box.parentElement) {
      if (getComputedStyle(box).overflowX === 'visible') continue;
      const sides = box.getBoundingClientRect();
      [from, to] = [Math.max(from, sides.left), Math.min(to, sides.right)];
    }
    return { from, to };
  };
  return [...document.querySelectorAll('button, input:not([type="hidden"]), textarea, select, summary, a[href]')]
    .filter(isSeen)
    .map((element) => ({ element, ...shown(element) }))
    .filter(({ from, to }) => from < to && (from < margin - 0.1 || to > right + 0.1))
    .map(({ element, from, to }) => {
      const what = element.getAttribute('aria-label') ?? element.textContent.trim();
      const name = [element.localName, ...element.classList].join('.');
      return `${name} "${what.slice(0, 40)}" goes from ${from.toFixed(1)} to ${to.toFixed(1)}`;
    });
}

/** The primary buttons that are seen, and how far down each ends. */
export function primaries() {
  return [...document.querySelectorAll('.primary')]
    .filter((button) => button.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
    .map((button) => ({ words: button.textContent.trim(), end: button.getBoundingClientRect().bottom }));
}

/** What something else lies over once it has the focus, such as a bar that sticks to the edge. */
export function coveredWhenFocused() {
  const fields = document.querySelectorAll(
    'main :is(a[href], button, input:not([type="hidden"]), textarea, summary)',
  );
  const covered = [...fields].filter((field) => {
    if (!field.checkVisibility()) return false;
    field.focus();
    const [box] = field.getClientRects();
    const seen = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
    return !field.contains(seen);
  });
  document.activeElement.blur();
  scrollTo(0, 0);
  return covered.map((field) => `${field.localName} ${field.id || field.textContent.trim()} is covered`);
}

/** Every text outside drawings two fifths longer and in accented letters; returns how much longer it has become. */
export function speakLonger() {
  const accented = { a: 'á', c: 'č', e: 'ě', i: 'ï', l: 'ł', n: 'ñ', o: 'ő', s: 'š', u: 'ů', y: 'ý', z: 'ž' };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const texts = [];
  while (walker.nextNode()) texts.push(walker.currentNode);
  let [before, after] = [0, 0];
  for (const text of texts) {
    // numbers and their units stay as they are in every language
    if (!/[a-z]{3}/i.test(text.data) || text.parentElement.closest('svg, script, style, code')) continue;
    const more = 'ůber lánge wörtén '.repeat(Math.ceil(text.data.length / 40)).slice(0, Math.ceil(text.data.length * 0.4));
    before += text.data.length;
    text.data = `${text.data.replace(/[aceilnosuyz]/g, (letter) => accented[letter])} ${more.trim()}`;
    after += text.data.length;
  }
  return before === 0 ? 1.4 : after / before;
}
