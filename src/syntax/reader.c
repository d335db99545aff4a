/* Bytes: encoding, NUL, lone carriage returns, a byte order mark. */
#include "syntax/reader.h"

#include "ground/utf8.h"

#include <stdint.h>
#include <string.h>

static struct span span_at(const struct source *source, size_t offset, size_t length) {
    uint32_t start = source->base + (uint32_t)offset;
    return (struct span){start, start + (uint32_t)length};
}

static bool begins_with(const struct source *source, const char *bytes, size_t length) {
    return source->length >= length && memcmp(source->bytes, bytes, length) == 0;
}

/* Every other byte of its beginning is NUL: plain letters in UTF-16, without a byte order mark. */
static bool looks_sixteen(const struct source *source) {
    size_t most = source->length < 64 ? source->length : 64, nul[2] = {0, 0};
    for (size_t i = 0; i < most; i++)
        nul[i % 2] += source->bytes[i] == '\0';
    return most >= 8 && (nul[0] == 0) != (nul[1] == 0) && nul[0] + nul[1] > most / 3;
}

static bool say_sixteen(struct report *report, const struct source *source) {
    struct finding *finding =
        report_add(report, RULE_encoding, span_at(source, 0, 2), "this text is UTF-16, not UTF-8");
    finding_help(report, finding, "save it as UTF-8");
    return false;
}

/* Whether eight bytes are all printable ASCII or line feeds and the like: none is below 8 or above
 * 0x7F, none is a carriage return. */
static bool all_plain(const char *bytes) {
    const uint64_t ones = 0x0101010101010101u, highs = 0x8080808080808080u;
    uint64_t word;
    memcpy(&word, bytes, sizeof word);
    uint64_t returns = word ^ (ones * '\r');
    uint64_t low = (word - ones * 8) & ~word, zero = (returns - ones) & ~returns;
    return ((word | low | zero) & highs) == 0;
}

bool reader_judge(struct report *report, struct source *source) {
    bool sixteen = begins_with(source, "\xFF\xFE", 2) || begins_with(source, "\xFE\xFF", 2);
    if (sixteen) return say_sixteen(report, source);
    if (begins_with(source, "\xEF\xBB\xBF", 3)) {
        struct finding *finding =
            report_add(report, RULE_byte_order_mark, span_at(source, 0, 3),
                       "the text begins with a byte order mark, which is passed over");
        finding_fix(report, finding, true, span_at(source, 0, 3), "%s", "");
        source->begins = 3;
    }
    const char *bytes = source->bytes;
    for (size_t at = 0, length; at < source->length; at += length) {
        length = sizeof(uint64_t);
        if (at + length <= source->length && all_plain(bytes + at)) continue;
        length = 1;
        unsigned char byte = (unsigned char)bytes[at];
        if (byte >= 0x20 && byte < 0x80) continue;
        if (byte == 0) {
            if (looks_sixteen(source)) return say_sixteen(report, source);
            report_add(report, RULE_encoding, span_at(source, at, 1),
                       "this text holds a NUL byte: it is no text, or it is damaged");
            return false;
        }
        if (byte == '\r' && bytes[at + 1] != '\n') {
            struct finding *finding =
                report_add(report, RULE_encoding, span_at(source, at, 1),
                           "a carriage return stands here without a line feed");
            finding_help(report, finding, "save the file with line ends LF or CRLF");
            return false;
        }
        if (byte >= 0x80 && utf8_decode(bytes + at, source->length - at, &length) == UTF8_BAD) {
            struct finding *finding = report_add(report, RULE_encoding, span_at(source, at, 1),
                                                 "the byte %02X here is no UTF-8", (unsigned)byte);
            finding_help(report, finding, "save the file as UTF-8");
            return false;
        }
    }
    return true;
}
