/* On an instrument's page: compares a certificate somebody has with the one that was issued. Nothing leaves the
   computer, and no network is needed. The digest is SHA-256 (FIPS 180-4), worked out here, since browsers keep their
   own from pages that were not fetched over a secure line. */
(function () {
  "use strict";

  function firstPrimes(count) {
    var primes = [];
    for (var number = 2; primes.length < count; number += 1) {
      if (primes.every(function (prime) { return number % prime; })) primes.push(number);
    }
    return primes;
  }

  /* The first 32 bits of the fractional part of a root (section 4.2.2 and 5.3.3 of the standard). */
  function fraction(root) {
    return ((root - Math.floor(root)) * 4294967296) | 0;
  }

  var PRIMES = firstPrimes(64);
  var CONSTANTS = PRIMES.map(function (prime) { return fraction(Math.cbrt(prime)); });
  var START = PRIMES.slice(0, 8).map(function (prime) { return fraction(Math.sqrt(prime)); });

  function turned(word, by) {
    return (word >>> by) | (word << (32 - by));
  }

  function padded(bytes) {
    var whole = new Uint8Array(((bytes.length + 8) >> 6 << 6) + 64);
    whole.set(bytes);
    whole[bytes.length] = 128;
    var view = new DataView(whole.buffer);
    view.setUint32(whole.length - 8, Math.floor(bytes.length / 536870912));
    view.setUint32(whole.length - 4, (bytes.length << 3) >>> 0);
    return view;
  }

  function sha256(bytes) {
    var state = START.slice(), words = new Int32Array(64), view = padded(bytes);
    for (var block = 0; block < view.byteLength; block += 64) {
      for (var at = 0; at < 64; at += 1) {
        if (at < 16) {
          words[at] = view.getInt32(block + 4 * at);
        } else {
          var two = words[at - 2], fifteen = words[at - 15];
          words[at] = words[at - 16] + words[at - 7] +
            (turned(fifteen, 7) ^ turned(fifteen, 18) ^ (fifteen >>> 3)) +
            (turned(two, 17) ^ turned(two, 19) ^ (two >>> 10));
        }
      }
      var a = state[0], b = state[1], c = state[2], d = state[3];
      var e = state[4], f = state[5], g = state[6], h = state[7];
      for (var round = 0; round < 64; round += 1) {
        var one = (h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) +
          CONSTANTS[round] + words[round]) | 0;
        var other = ((turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
        h = g; g = f; f = e; e = (d + one) | 0;
        d = c; c = b; b = a; a = (one + other) | 0;
      }
      [a, b, c, d, e, f, g, h].forEach(function (value, at) { state[at] = (state[at] + value) | 0; });
    }
    return state.map(function (word) { return ("0000000" + (word >>> 0).toString(16)).slice(-8); }).join("");
  }

  /* What a file is: words to show, and whether it agrees. */
  function compared(bytes, issued, fingerprint) {
    var digest = sha256(bytes);
    var same = issued.filter(function (each) { return each.sha256 === digest; })[0];
    if (same) return {agrees: true, words: "They agree: this is " + same.words + ", to the last byte."};
    var text = new TextDecoder("utf-8").decode(bytes);
    if (text.indexOf(fingerprint) >= 0) {
      return {agrees: false, words: "They do not agree: this file bears the same fingerprint, and yet is not the one " +
        "that was issued. Something in it was changed, if only by a program that saved it anew."};
    }
    return {agrees: false, words: "They do not agree: this file is not what was issued for this instrument."};
  }

  function setUp(place) {
    var issued = JSON.parse(place.dataset.issued), input = place.querySelector("input");
    var answer = place.querySelector("[role=status]");

    function look(file) {
      if (!file) return;
      answer.textContent = "Reading …";
      var reader = new FileReader();
      reader.onerror = function () { answer.textContent = "This file cannot be read."; };
      reader.onload = function () {
        var found = compared(new Uint8Array(reader.result), issued, place.dataset.fingerprint);
        answer.textContent = found.words;
        answer.className = found.agrees ? "bb-agrees" : "bb-differs";
      };
      reader.readAsArrayBuffer(file);
    }

    /* So that the same file, saved anew, is looked at again. */
    input.addEventListener("click", function () { input.value = ""; });
    input.addEventListener("change", function () { look(input.files[0]); });
    ["dragenter", "dragover"].forEach(function (name) {
      place.addEventListener(name, function (event) { event.preventDefault(); place.classList.add("bb-over"); });
    });
    place.addEventListener("dragleave", function () { place.classList.remove("bb-over"); });
    place.addEventListener("drop", function (event) {
      event.preventDefault();
      place.classList.remove("bb-over");
      look(event.dataTransfer.files[0]);
    });
    place.hidden = false;
  }

  if (typeof document === "undefined") {
    module.exports = {sha256: sha256, compared: compared};
  } else {
    Array.prototype.forEach.call(document.querySelectorAll(".bb-compare"), setUp);
    window.boutbookCompare = {sha256: sha256, compared: compared};
  }
})();
