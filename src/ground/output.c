/* Growing output and the one number formatter. */
/* strnlen */
#define _POSIX_C_SOURCE 200809L
#include "ground/output.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

struct output output_to(struct arena *arena) {
    return (struct output){.arena = arena};
}

struct output output_with_room(struct arena *arena, size_t room) {
    char *at = arena_try_raw(arena, room);
    if (at == NULL) arena_escape(arena);
    return (struct output){.arena = arena, .at = at, .room = room};
}

bool output_failed(const struct output *out) { return out->failed; }

bool output_grow(struct output *out, size_t more) {
    if (out->failed) return false;
    size_t room = out->room < 64 ? 128 : out->room * 2;
    while (room - out->length <= more)
        room *= 2;
    char *grown = arena_try_raw(out->arena, room);
    if (grown == NULL) {
        if (!out->foreign) arena_escape(out->arena);
        out->failed = true;
        return false;
    }
    if (out->length > 0) memcpy(grown, out->at, out->length);
    out->at = grown;
    out->room = room;
    return true;
}

void put_repeat(struct output *out, char c, size_t times) {
    if (times == 0 || !output_has_room(out, times)) return;
    memset(out->at + out->length, c, times);
    out->length += times;
}

/* Writes the digits of `value`, at least `least` of them, backwards from `end`; where they begin.
 */
static char *write_digits(char *end, uint64_t value, int least) {
    char *at = end;
    for (; value > UINT32_MAX; value /= 10)
        *--at = (char)('0' + value % 10);
    uint32_t small = (uint32_t)value;
    for (; small >= 10; small /= 10)
        *--at = (char)('0' + small % 10);
    if (small > 0) *--at = (char)('0' + small);
    while (end - at < least)
        *--at = '0';
    return at;
}

enum { NUMBER_ROOM = 40 };

void put_integer(struct output *out, int64_t value) {
    char store[NUMBER_ROOM], *end = store + NUMBER_ROOM;
    uint64_t size = value < 0 ? (uint64_t)0 - (uint64_t)value : (uint64_t)value;
    char *at = write_digits(end, size, 1);
    if (value < 0) *--at = '-';
    put_bytes(out, at, (size_t)(end - at));
}

static void put_number(struct output *out, double value, int decimals, bool keep_zeros) {
    static const double powers[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
    double scaled = fabs(value) * powers[decimals] + 0.5;
    if (!(scaled < 9e15)) scaled = 9e15; /* beyond what a racket can need; keeps the cast defined */
    uint64_t units = (uint64_t)scaled, whole, fraction;
    if (units <= UINT32_MAX) { /* nearly always, and much cheaper */
        uint32_t power = (uint32_t)powers[decimals], small = (uint32_t)units;
        whole = small / power;
        fraction = small % power;
    } else {
        uint64_t power = (uint64_t)powers[decimals];
        whole = units / power;
        fraction = units % power;
    }
    while (!keep_zeros && decimals > 0 && (uint32_t)fraction % 10 == 0) {
        fraction = (uint32_t)fraction / 10;
        decimals--;
    }
    char store[NUMBER_ROOM], *end = store + NUMBER_ROOM, *at = end;
    if (decimals > 0) {
        at = write_digits(at, fraction, decimals);
        *--at = '.';
    }
    at = write_digits(at, whole, 1);
    if (value < 0 && units > 0) *--at = '-';
    put_bytes(out, at, (size_t)(end - at));
}

void put_fixed(struct output *out, double value, int decimals) {
    put_number(out, value, decimals, true);
}

void put_decimal(struct output *out, double value, int decimals) {
    put_number(out, value, decimals, false);
}

/* One directive of a format: how it is padded and what it takes. */
struct directive {
    bool to_left, zeros;
    int width, precision; /* -1: none */
};

static const char *read_number(const char *at, int *value, va_list *list) {
    if (*at == '*') {
        *value = va_arg(*list, int);
        return at + 1;
    }
    for (*value = 0; *at >= '0' && *at <= '9'; at++)
        *value = *value * 10 + (*at - '0');
    return at;
}

static void put_padded(struct output *out, const struct directive *d, const char *bytes,
                       size_t length) {
    size_t width = d->width > 0 ? (size_t)d->width : 0, fill = length < width ? width - length : 0;
    if (!d->to_left) put_repeat(out, d->zeros ? '0' : ' ', fill);
    put_bytes(out, bytes, length);
    if (d->to_left) put_repeat(out, ' ', fill);
}

static void put_whole(struct output *out, const struct directive *d, uint64_t size, bool negative,
                      unsigned base) {
    char store[NUMBER_ROOM], *end = store + NUMBER_ROOM, *at = end;
    do {
        *--at = "0123456789ABCDEF"[size % base];
        size /= base;
    } while (size > 0);
    if (negative) *--at = '-';
    put_padded(out, d, at, (size_t)(end - at));
}

/* The part of printf that texts need: %s %c %d %zu %X %%, with -, 0, width and precision. */
static void put_list(struct output *out, const char *format, va_list *list) {
    while (*format != '\0') {
        size_t plain = strcspn(format, "%");
        put_bytes(out, format, plain);
        format += plain;
        if (*format == '\0') return;
        struct directive d = {.precision = -1};
        for (format++; *format == '-' || *format == '0'; format++) {
            if (*format == '-')
                d.to_left = true;
            else
                d.zeros = true;
        }
        format = read_number(format, &d.width, list);
        if (*format == '.') format = read_number(format + 1, &d.precision, list);
        switch (*format++) {
        case 's': {
            const char *text = va_arg(*list, const char *);
            size_t length = d.precision < 0 ? strlen(text) : strnlen(text, (size_t)d.precision);
            put_padded(out, &d, text, length);
            break;
        }
        case 'd': {
            int value = va_arg(*list, int);
            put_whole(out, &d, value < 0 ? (uint64_t)0 - (uint64_t)value : (uint64_t)value,
                      value < 0, 10);
            break;
        }
        case 'z':
            put_whole(out, &d, va_arg(*list, size_t), false, 10);
            format++; /* the u of %zu */
            break;
        case 'X': put_whole(out, &d, va_arg(*list, unsigned), false, 16); break;
        case 'c': put_char(out, (char)va_arg(*list, int)); break;
        default: put_char(out, '%'); break;
        }
    }
}

void put_format(struct output *out, const char *format, ...) {
    va_list list;
    va_start(list, format);
    put_list(out, format, &list);
    va_end(list);
}

void put_column(struct output *out, size_t start, size_t column) {
    size_t done = out->length - start;
    put_repeat(out, ' ', done < column ? column - done : 1);
}

const char *output_text(struct output *out) {
    if (out->failed || !output_has_room(out, 0)) arena_escape(out->arena);
    out->at[out->length] = '\0';
    return out->at;
}

char *format_list(struct arena *arena, const char *format, va_list list) {
    char store[256];
    struct output out = {.arena = arena, .at = store, .room = sizeof store};
    va_list taken;
    va_copy(taken, list);
    put_list(&out, format, &taken);
    va_end(taken);
    return arena_copy(arena, output_text(&out), out.length);
}

char *format(struct arena *arena, const char *format, ...) {
    va_list list;
    va_start(list, format);
    char *text = format_list(arena, format, list);
    va_end(list);
    return text;
}

char *format_decimal(struct arena *arena, double value, int decimals) {
    char store[64];
    struct output out = {.arena = arena, .at = store, .room = sizeof store};
    put_decimal(&out, value, decimals);
    return arena_copy(arena, out.at, out.length);
}
