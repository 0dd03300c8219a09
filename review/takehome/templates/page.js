"use strict";
// Two clips on one clock: picture n of both is the same time from impact. Without this script both keep their own controls.
for (const pair of document.querySelectorAll(".pair")) {
  const find = (selector) => pair.querySelector(selector);
  const videos = [...pair.querySelectorAll("video")];
  const times = [...pair.querySelectorAll(".time")];
  const keys = videos.map((video) => new Map(JSON.parse(video.dataset.keys)));
  const rate = Number(pair.dataset.rate), impact = Number(pair.dataset.impact);
  const last = Number(pair.dataset.pictures) - 1;
  const play = find(".play"), slider = find("input"), lock = find(".lock");
  const lockedAtImpact = lock.textContent;
  let at = impact;    // the picture of the first clip
  let ahead = 0;      // how many pictures the second clip is further on
  let speed = 1;
  let playing = false;

  const lowest = () => Math.max(0, -ahead), highest = () => Math.min(last, last - ahead);

  function say() {
    slider.min = lowest();
    slider.max = highest();
    slider.value = at;
    const words = [at, at + ahead].map((picture) => {
      const seconds = (picture - impact) / rate;
      return picture === impact ? "impact" : `${Math.abs(seconds).toFixed(2)} s ${seconds < 0 ? "before" : "after"} impact`;
    });
    times.forEach((place, i) => { place.textContent = words[i]; });
    slider.setAttribute("aria-valuetext", ahead ? `${words[0]}, the other ${words[1]}` : words[0]);
  }

  // the middle of a picture's time: no rounding shows the one before
  const seek = () => videos.forEach((video, i) => { video.currentTime = (at + i * ahead + 0.5) / rate; });

  function stop() {
    playing = false;
    play.textContent = "Play";
    videos.forEach((video) => video.pause());
  }

  function show(picture) {
    if (playing) stop();
    at = Math.min(Math.max(picture, lowest()), highest());
    seek();
    say();
  }

  function follow() {
    if (!playing) return;
    at = Math.floor(videos[0].currentTime * rate);
    if (at >= highest() || videos.some((video) => video.ended)) {
      show(highest());
      return;
    }
    // both run on their own; the second is held to the first by running a little faster or slower
    const gap = videos[1].currentTime - videos[0].currentTime - ahead / rate;
    if (Math.abs(gap) > 0.25) videos[1].currentTime -= gap;
    const wanted = Math.abs(gap) < 0.15 / rate ? speed : speed * Math.min(Math.max(1 - gap / (0.15 * speed), 0.5), 1.5);
    if (Math.abs(videos[1].playbackRate - wanted) > 0.02 * speed) videos[1].playbackRate = wanted;
    say();
    requestAnimationFrame(follow);
  }

  function start() {
    if (at >= highest()) show(lowest());
    playing = true;
    play.textContent = "Pause";
    videos.forEach((video) => { video.playbackRate = speed; });
    Promise.all(videos.map((video) => video.play())).then(() => requestAnimationFrame(follow), () => show(at));
  }

  play.addEventListener("click", () => (playing ? show(at) : start()));
  find(".back").addEventListener("click", () => show(at - 1));
  find(".on").addEventListener("click", () => show(at + 1));
  slider.addEventListener("input", () => show(Number(slider.value)));
  for (const button of pair.querySelectorAll("[data-key]")) {
    button.addEventListener("click", () => {
      const name = button.dataset.key;
      ahead = keys[1].get(name) - keys[0].get(name);
      lock.textContent = ahead ? `Each clip set to its own ${name}; they go on together from there.` : lockedAtImpact;
      show(keys[0].get(name));
    });
  }
  const speeds = [...pair.querySelectorAll("[data-speed]")];
  for (const button of speeds) {
    button.addEventListener("click", () => {
      speed = Number(button.dataset.speed);
      videos.forEach((video) => { video.playbackRate = speed; });
      speeds.forEach((other) => other.setAttribute("aria-pressed", String(other === button)));
    });
  }
  for (const video of videos) {
    const source = video.querySelector("source");
    const bytes = Uint8Array.from(atob(source.src.split(",")[1]), (letter) => letter.charCodeAt(0));
    source.remove();
    video.controls = false;
    video.addEventListener("loadedmetadata", seek, { once: true });
    video.src = URL.createObjectURL(new Blob([bytes], { type: "video/mp4" }));  // jumps further than in a data address
  }
  pair.querySelector(".player").hidden = false;
  say();
}
// on paper nothing unfolds
addEventListener("beforeprint", () => document.querySelectorAll("details").forEach((part) => { part.open = true; }));
