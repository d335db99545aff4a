# Makes pages.inc of rules.def and the pages in docs/findings: all their text as one array of bytes, each
# piece closed by a NUL, and the table of where each begins. Run with LC_ALL=C, so that a length is bytes.

function add(key, text,    lines, count, i) {
    table = table "    {" key ", " at ", " length(text) "},\n"
    at += length(text) + 1
    gsub(/[\\"]/, "\\\\&", text)
    count = split(text, lines, "\n")
    for (i = 1; i < count; i++)
        print "    \"" lines[i] "\\n\""
    print "    \"\\0\""
}

function add_page() {
    if (number != "") add(number, page)
    number = page = ""
}

function severity(word) {
    return word == "FAULT" ? "error" : tolower(word)
}

BEGIN {
    at = 0
    print "/* Made by pages.awk; not to be edited. */"
    print "static const char text[] ="
}

FILENAME ~ /rules\.def$/ {
    if (/^\/\* [1-9] .* \*\/$/) {
        families[++family_count] = $2
        title = substr($0, 6, length($0) - 8)
        lists[$2] = toupper(substr(title, 1, 1)) substr(title, 2) "\n"
        overview = overview "  SV-" $2 "..  " title "\n"
    } else if (split($0, part, /[(,] */) > 6 && part[1] == "RULE") {
        match($0, /".*"/)
        digit = substr(part[2], 1, 1)
        lists[digit] = lists[digit] sprintf("  SV-%s  %-7s  %s\n", part[2], severity(part[4]),
                                            substr($0, RSTART + 1, RLENGTH - 2))
    }
    next
}

FNR == 1 {
    add_page()
    match(FILENAME, /SV-[0-9]+/)
    number = substr(FILENAME, RSTART + 3, RLENGTH - 3)
}

{ page = page $0 "\n" }

END {
    add_page()
    for (i = 1; i <= family_count; i++) {
        add(families[i], lists[families[i]])
        all = all (i > 1 ? "\n" : "") lists[families[i]]
    }
    add("ALL_CODES", all)
    add("FAMILIES", overview)
    print ";\n\nstatic const struct piece pieces[] = {\n" table "};"
}
