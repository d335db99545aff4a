/* A short sum of bytes, to tell whether a file is as it was. It keeps no secrets. */
#ifndef SELVAGE_CLI_DIGEST_H
#define SELVAGE_CLI_DIGEST_H

#include "selvage.h"

#include <stdint.h>

struct digest {
    uint64_t sum;
    size_t length;
};

/* That of no bytes; and with more bytes behind it. */
struct digest digest_begin(void);
struct digest digest_more(struct digest digest, const char *bytes, size_t length);

struct digest digest_of(struct selvage_text text);
bool digest_same(struct digest a, struct digest b);

#endif
