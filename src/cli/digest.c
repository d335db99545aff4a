/* FNV-1a of 64 bits, and the length. */
#include "cli/digest.h"

struct digest digest_begin(void) {
    return (struct digest){UINT64_C(0xcbf29ce484222325), 0};
}

struct digest digest_more(struct digest digest, const char *bytes, size_t length) {
    uint64_t sum = digest.sum;
    for (size_t i = 0; i < length; i++)
        sum = (sum ^ (unsigned char)bytes[i]) * UINT64_C(0x100000001b3);
    return (struct digest){sum, digest.length + length};
}

struct digest digest_of(struct selvage_text text) {
    return digest_more(digest_begin(), text.bytes, text.length);
}

bool digest_same(struct digest a, struct digest b) {
    return a.sum == b.sum && a.length == b.length;
}
