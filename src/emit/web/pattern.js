/* The page of a pattern: back to the index as it was left. The index hands what it shows behind the
 * address of the page. */
(function () {
    'use strict';
    var back = document.getElementById('back');
    if (location.hash.indexOf('=') > 0) back.href += location.hash;
}());
