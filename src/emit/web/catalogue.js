/* The index of a catalogue: search and choices over the cards that are in the page already. What is
 * asked for stands behind the address, so that it is there again on coming back, and can be kept as
 * a bookmark. Nothing is fetched. */
(function () {
    'use strict';

    var form = document.getElementById('filter');
    var words = document.getElementById('words');
    var count = document.getElementById('count');
    var none = document.getElementById('none');

    /* What a card says of each choice; the choices are made of that. */
    var choices = [
        { id: 'sport', of: function (card) { return [card.getAttribute('data-sport')]; } },
        { id: 'string', of: function (card) {
            return Array.prototype.map.call(card.querySelectorAll('.string'), textOf);
        } },
        { id: 'pieces', of: function (card) { return [card.getAttribute('data-pieces')]; } },
        { id: 'size', of: function (card) { return [card.getAttribute('data-size')]; } }
    ];

    function textOf(element) { return element.textContent; }

    /* Small letters without accents: what is typed in a hurry is found. */
    function plain(text) {
        return text.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '');
    }

    /* What is searched; lengths and times are not: their numbers would be taken for sizes. */
    function searched(card) {
        var shown = Array.prototype.map.call(card.querySelectorAll('h2, .frame, .string'), textOf);
        return shown.concat(['data-names', 'data-sport', 'data-pieces', 'data-size'].map(
            function (name) { return card.getAttribute(name) || ''; })).join(' ');
    }

    function entryOf(card) {
        var link = card.querySelector('h2 a');
        return {
            card: card,
            link: link,
            target: link.getAttribute('href'),
            text: plain(searched(card)),
            size: card.getAttribute('data-size').replace(/\s+/g, ''),
            values: choices.map(function (choice) { return choice.of(card).filter(Boolean); })
        };
    }

    var entries = Array.prototype.map.call(document.querySelectorAll('.card'), entryOf);

    /* By the numbers in them first: 9 x 20 before 14 x 18. */
    function byNumber(a, b) {
        return (parseInt(a, 10) || 0) - (parseInt(b, 10) || 0) || (a < b ? -1 : a > b ? 1 : 0);
    }

    function fill(choice, place) {
        var values = {};
        choice.select = document.getElementById(choice.id);
        entries.forEach(function (entry) {
            entry.values[place].forEach(function (value) { values[value] = true; });
        });
        Object.keys(values).sort(byNumber).forEach(function (value) {
            choice.select.add(new Option(value, value));
        });
    }

    /* ---- what is asked for, and the address ---- */

    function asked() {
        var query = new URLSearchParams();
        if (words.value.trim() !== '') query.set('words', words.value.trim());
        choices.forEach(function (choice) {
            if (choice.select.value !== '') query.set(choice.id, choice.select.value);
        });
        return query.toString();
    }

    function readAddress() {
        var query = new URLSearchParams(location.hash.slice(1));
        words.value = query.get('words') || '';
        choices.forEach(function (choice) {
            choice.select.value = query.get(choice.id) || '';
            if (choice.select.selectedIndex < 0) choice.select.value = '';
        });
    }

    function writeAddress(query) {
        if (location.hash.slice(1) === query) return;
        try {
            history.replaceState(null, '', query === '' ? location.pathname : '#' + query);
        } catch (error) { /* a browser that lets no page of a folder do so: no way back is kept */ }
    }

    /* ---- showing ---- */

    /* What is typed: sizes as a whole, however they are spaced, and words. At the end of what is
     * typed so far the second number of a size may be unfinished. */
    function read(typed) {
        var wanted = { sizes: [], part: '', words: [] };
        var rest = plain(typed).replace(/(^|\s)(\d+)\s*[x\u00d7]\s*(\d+)(?=\s|$)/g,
            function (all, before, mains, crosses, at, text) {
                var size = mains + 'x' + crosses;
                if (at + all.length === text.length) wanted.part = size;
                else wanted.sizes.push(size);
                return ' ';
            });
        wanted.words = rest.split(/\s+/).filter(Boolean);
        return wanted;
    }

    function fits(entry, wanted) {
        return entry.size.indexOf(wanted.part) === 0 &&
            wanted.sizes.every(function (size) { return entry.size === size; }) &&
            wanted.words.every(function (word) { return entry.text.indexOf(word) >= 0; }) &&
            choices.every(function (choice, place) {
                var value = choice.select.value;
                return value === '' || entry.values[place].indexOf(value) >= 0;
            });
    }

    function show() {
        var wanted = read(words.value);
        var query = asked(), shown = 0;
        entries.forEach(function (entry) {
            var fit = fits(entry, wanted);
            entry.card.hidden = !fit;
            entry.link.setAttribute('href', entry.target + (query === '' ? '' : '#' + query));
            if (fit) shown += 1;
        });
        count.textContent = shown + ' of ' + entries.length +
            (entries.length === 1 ? ' pattern' : ' patterns');
        none.hidden = shown > 0 || entries.length === 0;
        return query;
    }

    function change() { writeAddress(show()); }

    choices.forEach(fill);
    form.hidden = false;
    form.addEventListener('input', change);
    form.addEventListener('change', change);
    form.addEventListener('submit', function (event) { event.preventDefault(); });
    form.addEventListener('reset', function () { setTimeout(change, 0); });
    window.addEventListener('hashchange', function () {
        if (location.hash === '#patterns') return;
        readAddress();
        show();
    });
    window.addEventListener('pageshow', function () {
        readAddress();
        show();
    });
    readAddress();
    show();
}());
