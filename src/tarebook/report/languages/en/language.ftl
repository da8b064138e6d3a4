# Which language it is, and how the place where it is spoken writes numbers, dates and times, by paper.

language-name = English
language-locale_a4 = en_GB
language-locale_letter = en_US
