# Makes web.inc of the files that are built into pages: each an array of its lines, closed by NULL.

FNR == 1 {
    if (NR > 1) print "    NULL};"
    name = FILENAME
    sub(/.*\//, "", name)
    gsub(/[^a-z0-9]/, "_", name)
    print "static const char *const " name "[] = {"
}

{
    gsub(/[\\"]/, "\\\\&")
    print "    \"" $0 "\\n\","
}

END { print "    NULL};" }
