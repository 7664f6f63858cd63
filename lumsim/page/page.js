"use strict";
// Shows what was computed beforehand for the setting that a reader chooses. It computes no light.
(() => {
  const byId = (id) => document.getElementById(id);
  const bytesOf = (id) => Uint8Array.from(atob(byId(id).textContent.trim()), (letter) => letter.charCodeAt(0));

  const all = JSON.parse(byId("choices").textContent);
  const faces = bytesOf("faces");
  const profiles = new DataView(bytesOf("profiles").buffer);
  const [partWide, partHigh] = all.dots;
  const wide = all.folded ? 2 * partWide : partWide;
  const high = all.folded ? 2 * partHigh : partHigh;
  const here = { pitch: all.own[0], depth: all.own[1], walls: all.own[2] };

  const numberOf = (pitch, depth, walls) => (walls * all.depths.length + depth) * all.pitches.length + pitch;
  const words = (number) => all.words[number];
  const checked = (name) => document.querySelector(`input[name="${name}"]:checked`).value;

  // --- the face -------------------------------------------------------------------------------------------

  // sRGB of a share of the screen's white (IEC 61966-2-1).
  const grey = (share) => Math.round(255 * (share <= 0.0031308 ? 12.92 * share : 1.055 * share ** (1 / 2.4) - 0.055));
  const colours = all.colours.map((text) => [1, 3, 5].map((at) => parseInt(text.slice(at, at + 2), 16)));
  const colour = (share) => {
    const along = (share - all.darkest_shown) / (1 - all.darkest_shown);
    return colours[Math.min(colours.length - 1, Math.max(0, Math.round(along * (colours.length - 1))))];
  };

  const dotsOf = (setting, number) => {
    const from = number * partWide * partHigh;
    const inColours = checked("shown") === "colours";
    const shades = Array.from({ length: 256 }, (_, step) => {
      const share = setting.dark + (step / 255) * (setting.bright - setting.dark);
      return inColours ? colour(share) : Array(3).fill(grey(Math.min(1, share)));
    });
    const dots = new ImageData(wide, high);
    for (let row = 0; row < high; row += 1) {
      const up = high - 1 - row;
      const y = all.folded && up >= partHigh ? high - 1 - up : up;
      for (let column = 0; column < wide; column += 1) {
        // A rear face is seen from behind: its left is the right of the front.
        const along = setting.rear ? wide - 1 - column : column;
        const x = all.folded && along >= partWide ? wide - 1 - along : along;
        dots.data.set([...shades[faces[from + y * partWide + x]], 255], 4 * (row * wide + column));
      }
    }
    return dots;
  };

  const boundsOf = (setting) => {
    const [left, right, bottom, top] = setting.rear ? all.visible.rear : all.visible.front;
    return { left, right, bottom, top };
  };

  const drawFace = (setting, number) => {
    const canvas = byId("face");
    const bounds = boundsOf(setting);
    const aspect = (bounds.right - bounds.left) / (bounds.top - bounds.bottom);
    byId("sign").style.setProperty("--aspect", String(aspect));
    const plain = document.createElement("canvas");
    plain.width = wide;
    plain.height = high;
    plain.getContext("2d").putImageData(dotsOf(setting, number), 0, 0);
    const sharp = Math.min(3, Math.max(1, window.devicePixelRatio || 1));
    canvas.width = Math.min(2400, Math.max(2 * wide, Math.round(canvas.clientWidth * sharp)));
    canvas.height = Math.max(1, Math.round(canvas.width / aspect));
    const pen = canvas.getContext("2d");
    pen.imageSmoothingEnabled = true;
    pen.imageSmoothingQuality = "high";
    pen.drawImage(plain, 0, 0, canvas.width, canvas.height);
    canvas.setAttribute(
      "aria-label",
      `The lit face${setting.rear ? ", rear, seen from behind" : ""}: brightest ${words(setting.levels[1])}, ` +
        `darkest ${words(setting.levels[2])}.` +
        (setting.rear ? " Places are counted as seen from the front." : ""),
    );
  };

  // --- its profile ----------------------------------------------------------------------------------------

  const part = (name, attributes, text) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.entries(attributes).forEach(([key, value]) => made.setAttribute(key, value));
    if (text !== undefined) made.textContent = text;
    return made;
  };

  const steps = all.unit === "in" ? [1, 2, 3, 6, 12, 24, 48, 120, 240] : [20, 50, 100, 200, 500, 1000, 2000, 5000];

  const drawProfile = (setting, number, broad) => {
    const box = byId("profile");
    const letter = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const across = Math.max(260, broad || box.clientWidth);
    const tall = 9.5 * letter;
    const left = 3.2 * letter;
    const right = across - letter;
    const top = 0.6 * letter;
    const foot = tall - 2.6 * letter;
    const bounds = boundsOf(setting);
    const [start, end] = setting.across === "y" ? [bounds.bottom, bounds.top] : [bounds.left, bounds.right];
    // As the face above it: a rear face seen from behind has its left, as seen from the front, on the right.
    const mirrored = setting.rear && setting.across === "x";
    const x = (place) => {
      const along = (place - start) / (end - start);
      return left + (mirrored ? 1 - along : along) * (right - left);
    };
    const y = (share) => foot - share * (foot - top);
    const svg = part("svg", { viewBox: `0 0 ${across} ${tall}`, width: across, height: tall, "aria-hidden": "true" });
    for (const share of [0, 0.25, 0.5, 0.75, 1]) {
      svg.append(part("line", { x1: left, x2: right, y1: y(share), y2: y(share), stroke: share ? "#dde1e5" : "#1c2127" }));
      if ((share * 4) % 2 === 0) {
        svg.append(part("text", { x: left - 4, y: y(share) + 0.27 * letter, "text-anchor": "end" }, `${share * 100} %`));
      }
    }
    const most = Math.max(2, Math.floor((right - left) / (4 * letter)));
    const step = steps.find((one) => (end - start) / one <= most) || steps[steps.length - 1];
    for (let place = Math.ceil(start / step) * step; place <= end + 1e-9; place += step) {
      svg.append(part("line", { x1: x(place), x2: x(place), y1: foot, y2: foot + 4, stroke: "#1c2127" }));
      svg.append(part("text", { x: x(place), y: foot + 1.2 * letter, "text-anchor": "middle" }, `${place}`));
    }
    const from = setting.across === "y" ? "bottom" : mirrored ? "left, as seen from the front" : "left";
    const to = setting.across === "y" ? "top" : "right";
    svg.append(part("text", { x: right, y: tall - 0.2 * letter, "text-anchor": "end" }, `${all.unit} from ${from}`));
    for (const place of setting.at.filter((one) => one >= start && one <= end)) {
      svg.append(part("path", { d: `M${x(place)} ${foot - 1}l-4 -8h8z`, fill: "#6a3d8f" }));
    }
    const shares = Array.from(
      { length: all.places },
      (_, place) => profiles.getUint16(2 * (number * all.places + place), true) / 65535,
    );
    const line = shares.map((share, place) => {
      const along = start + (place / (all.places - 1)) * (end - start);
      return `${place ? "L" : "M"}${x(along).toFixed(2)} ${y(share).toFixed(2)}`;
    });
    svg.append(part("path", { d: line.join(""), fill: "none", stroke: "#1c2127", "stroke-width": 2 }));
    box.replaceChildren(svg);
    const whole = (share) => Math.round(100 * share);
    box.setAttribute(
      "aria-label",
      `Mean luminance along the rows, from ${from}, to ${to}: between ` +
        `${whole(Math.min(...shares))} and ${whole(Math.max(...shares))} per cent of the face's brightest point.`,
    );
  };

  // --- numbers --------------------------------------------------------------------------------------------

  const tellNumbers = (setting) => {
    const state = byId("state");
    state.className = all.required ? (setting.met ? "met" : "missed") : "free";
    state.textContent = all.required ? (setting.met ? "Requirement met" : "Requirement NOT met") : "Nothing is required";
    document.querySelectorAll("#evenness dd, #further dd").forEach((told, number) => {
      const [value, limit] = setting.numbers[number].map(words);
      const second = document.createElement("span");
      second.textContent = limit;
      told.replaceChildren(document.createTextNode(value), ...(limit ? [second] : []));
    });
    byId("levels").querySelectorAll("dd").forEach((told, number) => {
      told.textContent = words(setting.levels[number]);
    });
    byId("verdict").textContent = words(setting.verdict);
    byId("rows").textContent = words(setting.rows);
    byId("counted").textContent = setting.rear ? "Places are counted as seen from the front." : "";
    byId("side").textContent = all.visible.rear ? (setting.rear ? " (rear, seen from behind)" : " (front)") : "";
    byId("warnings").replaceChildren(
      ...setting.warnings.map((number) => {
        const line = document.createElement("li");
        line.textContent = words(number);
        return line;
      }),
    );
  };

  let waiting = 0;
  const tellStatus = (setting) => {
    // A reader who hears the page is told once the slider rests.
    window.clearTimeout(waiting);
    waiting = window.setTimeout(() => {
      byId("status").textContent =
        `Row pitch ${all.pitches[here.pitch]}, depth ${all.depths[here.depth]}, ${all.walls[here.walls]}: ` +
        `max/min ${words(setting.cells[0][0])}. ${byId("state").textContent}.`;
    }, 400);
  };

  // --- the plane ------------------------------------------------------------------------------------------

  const cells = [];
  const move = (pitch, depth, focus) => {
    here.pitch = Math.min(all.pitches.length - 1, Math.max(0, pitch));
    here.depth = Math.min(all.depths.length - 1, Math.max(0, depth));
    show();
    if (focus) cells[here.depth][here.pitch].focus();
  };

  const keys = {
    ArrowLeft: () => [here.pitch - 1, here.depth],
    ArrowRight: () => [here.pitch + 1, here.depth],
    ArrowUp: () => [here.pitch, here.depth + 1],
    ArrowDown: () => [here.pitch, here.depth - 1],
    Home: () => [0, here.depth],
    End: () => [all.pitches.length - 1, here.depth],
    PageUp: () => [here.pitch, all.depths.length - 1],
    PageDown: () => [here.pitch, 0],
  };

  const heading = (scope, text, own) => {
    const made = document.createElement("th");
    made.scope = scope;
    made.setAttribute("role", scope === "row" ? "rowheader" : "columnheader");
    made.textContent = text;
    if (own) made.className = "own";
    return made;
  };

  const buildPlane = () => {
    const table = byId("plane");
    const row = () => {
      const made = document.createElement("tr");
      made.setAttribute("role", "row");
      return made;
    };
    const heads = row();
    heads.append(heading("col", `depth, ${all.unit}`, false));
    all.pitch_heads.forEach((text, pitch) => heads.append(heading("col", text, pitch === all.own[0])));
    table.tHead.append(heads);
    all.depths.forEach((_, depth) => {
      cells.push(
        all.pitches.map((__, pitch) => {
          const cell = document.createElement("td");
          cell.setAttribute("role", "gridcell");
          cell.append(document.createElement("span"));
          cell.addEventListener("click", () => move(pitch, depth, true));
          return cell;
        }),
      );
    });
    // Deep at the top, as depth is drawn.
    for (let depth = all.depths.length - 1; depth >= 0; depth -= 1) {
      const line = row();
      line.append(heading("row", all.depth_heads[depth], depth === all.own[1]), ...cells[depth]);
      table.tBodies[0].append(line);
    }
    table.addEventListener("keydown", (event) => {
      const to = keys[event.key];
      if (!to || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      move(...to(), true);
    });
  };

  const tellPlane = () => {
    const measure = Number(checked("measure"));
    const told = all.measures[measure];
    byId("measure").textContent = told.words;
    byId("even-told").textContent = told.least;
    byId("uneven-told").textContent = told.most;
    byId("edges").hidden = measure !== 0;
    byId("untold").hidden = measure === 0;
    cells.forEach((line, depth) =>
      line.forEach((cell, pitch) => {
        const setting = all.settings[numberOf(pitch, depth, here.walls)];
        const isHere = pitch === here.pitch && depth === here.depth;
        const isStudy = pitch === all.own[0] && depth === all.own[1] && here.walls === all.own[2];
        const missed = all.required && !setting.met;
        const [value, ground, ink] = setting.cells[measure].map(words);
        cell.className = [isHere && "here", isStudy && "study", missed && "missed"].filter(Boolean).join(" ");
        cell.style.setProperty("--ground", ground);
        cell.style.setProperty("--letters", ink);
        cell.style.backgroundColor = ground;
        cell.style.color = ink;
        cell.firstChild.textContent = value;
        cell.tabIndex = isHere ? 0 : -1;
        cell.setAttribute("aria-selected", String(isHere));
        cell.setAttribute(
          "aria-label",
          `Row pitch ${all.pitches[pitch]}, depth ${all.depths[depth]}: ${all.measures[measure].name} ${value}` +
            (all.required ? (setting.met ? ", met" : ", NOT met") : "") +
            (isStudy ? ", the study" : ""),
        );
      }),
    );
  };

  // --- all together ---------------------------------------------------------------------------------------

  const tellSlider = (name, number, text) => {
    const slider = byId(name);
    slider.value = number;
    slider.setAttribute("aria-valuetext", text);
    byId(`${name}-told`).textContent = text;
  };

  const draw = () => {
    const number = numberOf(here.pitch, here.depth, here.walls);
    drawFace(all.settings[number], number);
    drawProfile(all.settings[number], number);
  };

  const drawForPaper = () => {
    // Half a sheet is narrower than most screens: drawn for it, letters stay large enough to read.
    const number = numberOf(here.pitch, here.depth, here.walls);
    drawProfile(all.settings[number], number, 23 * parseFloat(getComputedStyle(document.documentElement).fontSize));
  };

  const show = () => {
    const setting = all.settings[numberOf(here.pitch, here.depth, here.walls)];
    const rows = setting.count === 1 ? "1 row" : `${setting.count} rows`;
    tellSlider("pitch", here.pitch, `${all.pitches[here.pitch]} (${rows})`);
    tellSlider("depth", here.depth, all.depths[here.depth]);
    document.querySelectorAll('input[name="walls"]').forEach((radio) => {
      radio.checked = Number(radio.value) === here.walls;
    });
    tellNumbers(setting);
    tellPlane();
    draw();
    tellStatus(setting);
  };

  const begin = () => {
    byId("even").style.background = all.colours[all.colours.length - 1];
    byId("uneven").style.background = all.colours[0];
    byId("bar").style.background = `linear-gradient(to right, ${all.colours.join(",")})`;
    buildPlane();
    byId("pitch").addEventListener("input", (event) => move(Number(event.target.value), here.depth, false));
    byId("depth").addEventListener("input", (event) => move(here.pitch, Number(event.target.value), false));
    document.querySelectorAll('input[name="walls"]').forEach((radio) =>
      radio.addEventListener("change", () => {
        here.walls = Number(radio.value);
        show();
      }),
    );
    document.querySelectorAll('input[name="shown"]').forEach((radio) =>
      radio.addEventListener("change", () => {
        byId("key-colours").hidden = radio.value !== "colours";
        byId("key-seen").hidden = radio.value !== "seen";
        draw();
      }),
    );
    document.querySelectorAll('input[name="measure"]').forEach((radio) => radio.addEventListener("change", tellPlane));
    byId("own").addEventListener("click", () => {
      [here.pitch, here.depth, here.walls] = all.own;
      show();
    });
    document.querySelectorAll("main [disabled]").forEach((control) => control.removeAttribute("disabled"));
    window.addEventListener("beforeprint", drawForPaper);
    window.addEventListener("afterprint", draw);
    let broad = 0;
    new ResizeObserver(([box]) => {
      // The profile's own height must not make it draw again.
      if (Math.round(box.contentRect.width) === broad) return;
      broad = Math.round(box.contentRect.width);
      draw();
    }).observe(byId("seen"));
    show();
  };

  begin();
})();
